"""Which entries stand. The rule is the project's own; its laws are checked on generated histories."""

from itertools import permutations

from hypothesis import given
from hypothesis import strategies as st

from walkabout.records.standing import Head, Link, standing_heads


def entry(name: str, at: int, *, replaces: str | None = None, withdraws: str | None = None) -> Link:
    return Link(name, at, replaces, withdraws)


def standing(*links: Link) -> list[str]:
    return [head.entry_id for head in standing_heads(links)]


def test_an_entry_by_itself_stands() -> None:
    assert standing_heads([entry("a", 1)]) == [Head("a", "a", 0)]


def test_the_last_of_rival_corrections_holds() -> None:
    links = [entry("a", 1), entry("b", 5, replaces="a"), entry("c", 3, replaces="a")]
    assert standing_heads(links) == [Head("b", "a", 2)]


def test_the_larger_id_breaks_a_tie_of_moments() -> None:
    assert standing(entry("a", 1), entry("b", 5, replaces="a"), entry("c", 5, replaces="a")) == ["c"]


def test_a_withdrawal_takes_the_entry_and_its_earlier_correction_away() -> None:
    assert standing(entry("a", 1), entry("b", 2, replaces="a"), entry("w", 3, withdraws="a")) == []


def test_a_correction_made_after_a_withdrawal_holds() -> None:
    assert standing(entry("a", 1), entry("w", 2, withdraws="a"), entry("b", 3, replaces="a")) == ["b"]


def test_withdrawing_a_correction_gives_back_what_stood_before() -> None:
    links = [
        entry("a", 1),
        entry("b", 2, replaces="a"),
        entry("c", 3, replaces="a"),
        entry("w", 4, withdraws="c"),
    ]
    assert standing(*links) == ["b"]


def test_withdrawing_a_withdrawal_gives_the_entry_back() -> None:
    assert standing(entry("a", 1), entry("w", 2, withdraws="a"), entry("v", 3, withdraws="w")) == ["a"]


def test_a_correction_whose_target_has_not_come_stands_by_itself() -> None:
    assert standing(entry("b", 2, replaces="a")) == ["b"]
    assert standing(entry("b", 2, replaces="a"), entry("a", 1)) == ["b"]


def test_a_withdrawal_whose_target_has_not_come_shows_nothing() -> None:
    assert standing(entry("w", 2, withdraws="a")) == []


def test_entries_that_name_each_other_in_a_ring_leave_one_standing() -> None:
    ring = [entry("a", 1, replaces="c"), entry("b", 2, replaces="a"), entry("c", 3, replaces="b")]
    for order in permutations(ring):
        assert standing(*order) == ["c"]
    assert standing(entry("a", 1, replaces="a")) == ["a"]


def test_a_long_chain_of_corrections_is_followed_to_its_end() -> None:
    chain = [entry("0000", 0)] + [entry(f"{n:04d}", n, replaces=f"{n - 1:04d}") for n in range(1, 5000)]
    assert standing(*chain) == ["4999"]


names = st.sampled_from("abcdefgh")


@st.composite
def histories(draw: st.DrawFn) -> list[Link]:
    links = {}
    for name in draw(st.lists(names, unique=True)):
        target = draw(st.none() | names)
        withdraws = draw(st.booleans())
        links[name] = Link(
            name,
            draw(st.integers(0, 3)),
            target if not withdraws else None,
            target if withdraws else None,
        )
    return list(links.values())


@given(histories(), st.randoms())
def test_the_order_of_arrival_does_not_matter(history: list[Link], chance: object) -> None:
    shuffled = history[:]
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    assert standing_heads(shuffled) == standing_heads(history)


@given(histories())
def test_what_stands_is_an_observation_and_stands_once(history: list[Link]) -> None:
    known = {link.id: link for link in history}
    heads = standing_heads(history)
    assert all(known[head.entry_id].withdraws is None for head in heads)
    assert len({head.entry_id for head in heads}) == len(heads)
    assert len({head.root_id for head in heads}) == len(heads)


@given(histories())
def test_a_new_withdrawal_of_what_stands_undoes_exactly_that(history: list[Link]) -> None:
    for head in standing_heads(history):
        undone = [*history, Link("w", 99, None, head.entry_id)]
        back = [*undone, Link("x", 99, None, "w")]
        assert head.entry_id not in standing(*undone)
        assert standing_heads(back) == standing_heads(history)
