"""Tag codes in Python and in the page, against one table and against arithmetic done another way.

Sources: the alphabet and what is forgiven, D. Crockford, "Base 32" (2019); the field of 32 elements,
any table of primitive polynomials, e.g. Lidl and Niederreiter, "Introduction to Finite Fields", table D
(x^5 + x^2 + 1 over GF(2) is primitive). The code itself is this project's own, no source.
"""

import json
import random
import threading
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from playwright.sync_api import Browser, Page

from walkabout.assets import STATIC
from walkabout.errors import BadInput
from walkabout.tags import codes

TABLE: dict[str, list[Any]] = json.loads((Path(__file__).parent / "codes.json").read_text(encoding="utf-8"))
LETTERS = st.sampled_from(codes.ALPHABET)


def product(a: int, b: int) -> int:
    """a times b in GF(32) by long multiplication: another way than the one under test."""
    whole = 0
    for bit in range(5):
        whole ^= (a << bit) if b >> bit & 1 else 0
    for bit in range(8, 4, -1):
        whole ^= (0b100101 << (bit - 5)) if whole >> bit & 1 else 0
    return whole


def powers() -> list[int]:
    found = [1]
    while len(found) < 7:
        found.append(product(found[-1], 2))
    return found


WEIGHTS = powers()[::-1]


def is_code(text: str) -> bool:
    total = 0
    for weight, letter in zip(WEIGHTS, text, strict=True):
        total ^= product(weight, codes.ALPHABET.index(letter))
    return total == 0


def passes(text: str) -> bool:
    try:
        codes.read_code(text)
    except codes.CodeError:
        return False
    return True


def fits(letters: list[str], place: int, letter: str) -> bool:
    """Whether this letter in that place makes the letters a code."""
    return is_code("".join([*letters[:place], letter, *letters[place + 1 :]]))


def with_check(letters: str) -> str:
    return next(letters + last for last in codes.ALPHABET if is_code(letters + last))


def test_a_made_code_reads_back_and_shows_in_two_groups() -> None:
    code = codes.make_code()
    assert codes.read_code(codes.shown(code).lower()) == code
    assert [len(group) for group in codes.shown(code).split("-")] == [3, 4]


def test_the_alphabet_is_crockfords() -> None:
    # Crockford, "Base 32": the ten digits and the letters without I, L, O, U.
    assert (
        "0123456789" + "".join(c for c in "ABCDEFGHIJKLMNOPQRSTUVWXYZ" if c not in "ILOU") == codes.ALPHABET
    )


def test_all_seven_weights_differ_and_none_is_zero() -> None:
    assert len(set(WEIGHTS)) == 7
    assert 0 not in WEIGHTS
    assert WEIGHTS[-1] == 1


@pytest.mark.parametrize("code", TABLE["valid"])
def test_table_valid(code: str) -> None:
    assert is_code(code)
    assert codes.read_code(code) == code


@pytest.mark.parametrize("row", TABLE["forgiven"], ids=lambda row: row["text"])
def test_table_forgiven(row: dict[str, str]) -> None:
    assert codes.read_code(row["text"]) == row["code"]
    assert codes.normalise(row["text"]) == row["code"]


@pytest.mark.parametrize("row", TABLE["invalid"], ids=lambda row: row["text"])
def test_table_invalid(row: dict[str, Any]) -> None:
    with pytest.raises(codes.CodeError) as caught:
        codes.read_code(row["text"])
    assert isinstance(caught.value, BadInput)
    assert (caught.value.problem, caught.value.values) == (row["problem"], row["values"])
    assert caught.value.field == "code"
    assert "{" not in caught.value.message


def test_the_table_shows_every_problem() -> None:
    assert {row["problem"] for row in TABLE["invalid"]} == set(codes.PROBLEMS)


def test_every_single_wrong_letter_is_caught() -> None:
    # Exhaustive for the codes of the table; the sum is linear, so the code matters not.
    for code in TABLE["valid"]:
        for place, right in enumerate(code):
            for wrong in codes.ALPHABET:
                assert passes(code[:place] + wrong + code[place + 1 :]) == (wrong == right)


def test_every_swap_of_two_unequal_letters_is_caught() -> None:
    # Every pair of places with every pair of letters: 21 * 992 codes, the other places made to fit.
    for one, two in combinations(range(7), 2):
        spare = next(place for place in range(6, -1, -1) if place not in (one, two))
        for a in codes.ALPHABET:
            for b in codes.ALPHABET:
                if a == b:
                    continue
                letters = ["0"] * 7
                letters[one], letters[two] = a, b
                letters[spare] = next(c for c in codes.ALPHABET if fits(letters, spare, c))
                assert passes("".join(letters))
                letters[one], letters[two] = b, a
                assert not passes("".join(letters))


@given(st.text(codes.ALPHABET, min_size=6, max_size=6), st.integers(0, 6), LETTERS)
def test_single_wrong_letters_of_any_code(drawn: str, place: int, wrong: str) -> None:
    code = with_check(drawn)
    assert passes(code[:place] + wrong + code[place + 1 :]) == (wrong == code[place])


@given(st.text(codes.ALPHABET, min_size=7, max_size=7))
def test_agrees_with_long_multiplication(text: str) -> None:
    assert passes(text) == is_code(text)


@given(st.text())
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        code = codes.read_code(text)
    except codes.CodeError:
        return
    assert codes.read_code(code) == code == codes.normalise(code)
    assert set(code) <= set(codes.ALPHABET)


def test_at_most_one_random_text_in_thirty_passes() -> None:
    # Measured: texts of seven letters drawn evenly from the 32 of the alphabet. For any first six exactly
    # one last letter fits, so the share is 1 in 32 (3.125 %); 200,000 draws scatter by 0.04 points.
    drawn = random.Random(1935)
    passed = sum(passes("".join(drawn.choices(codes.ALPHABET, k=7))) for _ in range(200_000))
    assert passed / 200_000 <= 1 / 30
    for first_six in ("000000", "K7M4Q2", "ZZZZZZ"):
        assert sum(passes(first_six + last) for last in codes.ALPHABET) == 1


def test_made_codes_are_codes_and_use_the_whole_alphabet() -> None:
    made = [codes.make_code() for _ in range(2_000)]
    assert all(is_code(code) for code in made)
    # 2,000 of 32^6 codes: two alike in about 0.2 % of all runs (birthday bound), three equal pairs never.
    assert len(set(made)) >= 1_998
    for place in range(7):
        assert {code[place] for code in made} == set(codes.ALPHABET)


READ_IN_PAGE = """async ([address, texts]) => {
  const { readCode, shown, normalise } = await import(address);
  return texts.map((text) => {
    try {
      const code = readCode(text);
      return { code, shown: shown(code), normalised: normalise(text) };
    } catch (error) {
      return { problem: error.problem, values: error.values, name: error.name };
    }
  });
}"""

READ_IN_WORKER = """([address, texts]) => new Promise((answer, fail) => {
  const source = `import { readCode } from ${JSON.stringify(address)};
    onmessage = ({ data }) => postMessage(data.map((text) => {
      try { return { code: readCode(text) }; } catch (error) { return { problem: error.problem }; }
    }));`;
  const worker = new Worker(URL.createObjectURL(new Blob([source], { type: "text/javascript" })), { type: "module" });
  worker.onmessage = ({ data }) => answer(data);
  worker.onerror = (error) => fail(new Error(error.message));
  worker.postMessage(texts);
})"""


def read_in_python(text: str) -> dict[str, Any]:
    """What READ_IN_PAGE is to answer for this text."""
    try:
        code = codes.read_code(text)
    except codes.CodeError as error:
        return {"problem": error.problem, "values": error.values, "name": "CodeError"}
    return {"code": code, "shown": codes.shown(code), "normalised": code}


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """Where a real server hands out static/js/codes.js."""

    class Quiet(SimpleHTTPRequestHandler):
        def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - the base class names it so
            pass

    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(STATIC / "js"))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/codes.js"
        server.shutdown()


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    page = browser.new_page()
    page.goto(address)
    yield page
    page.close()


@pytest.mark.browser
def test_the_page_reads_the_table_alike(page: Page, address: str) -> None:
    texts = [*TABLE["valid"], *(row["text"] for row in (*TABLE["forgiven"], *TABLE["invalid"]))]
    expected: list[dict[str, Any]] = [
        {"code": code, "shown": f"{code[:3]}-{code[3:]}", "normalised": code}
        for code in [*TABLE["valid"], *(row["code"] for row in TABLE["forgiven"])]
    ]
    expected += [
        {"problem": row["problem"], "values": row["values"], "name": "CodeError"} for row in TABLE["invalid"]
    ]
    assert page.evaluate(READ_IN_PAGE, [address, texts]) == expected


@pytest.mark.browser
def test_the_page_agrees_with_python_on_random_texts(page: Page, address: str) -> None:
    drawn = random.Random(1932)
    texts = ["".join(drawn.choices(codes.ALPHABET, k=7)) for _ in range(5_000)]
    texts += [
        "".join(
            drawn.choices(codes.ALPHABET + "iloIOLu -/t_\u2013\u00e4\u0131\U0001f333", k=drawn.randint(0, 12))
        )
        for _ in range(5_000)
    ]
    for text, answer in zip(texts, page.evaluate(READ_IN_PAGE, [address, texts]), strict=True):
        assert answer == read_in_python(text), text


@pytest.mark.browser
def test_a_module_worker_reads_the_table_alike(page: Page, address: str) -> None:
    texts = [*TABLE["valid"], *(row["text"] for row in TABLE["invalid"])]
    expected = [{"code": code} for code in TABLE["valid"]]
    expected += [{"problem": row["problem"]} for row in TABLE["invalid"]]
    assert page.evaluate(READ_IN_WORKER, [address, texts]) == expected
