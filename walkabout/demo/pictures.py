"""Pictures of the demo, drawn by program: plainly drawings, made anew with each build."""

import io
import math
from collections.abc import Callable, Mapping
from random import Random
from types import MappingProxyType

from PIL import Image, ImageDraw

Point = tuple[float, float]
Colour = str
_WIDE, _HIGH = 1280, 960
_PAPER: Colour = "#f3ead8"
_INK: Colour = "#2d2a26"
_LEAF, _LEAF_DARK, _LEAF_LIGHT = "#5f8f3e", "#3f6a2a", "#9dbf6a"
_WOOD, _BROWN = "#7b5a3c", "#8a6a3f"


def draw(name: str) -> bytes:
    """A picture as a JPEG file. Raises KeyError for a name that PICTURES does not have."""
    image = Image.new("RGB", (_WIDE, _HIGH), _PAPER)
    PICTURES[name](ImageDraw.Draw(image), Random(name))  # noqa: S311 -- a drawing, not a secret
    file = io.BytesIO()
    image.save(file, "JPEG", quality=72)
    return file.getvalue()


def _mined_leaf(pen: ImageDraw.ImageDraw, luck: Random) -> None:
    """A young leaf with the winding line of a leafminer."""
    _leaf(pen, (640, 480), 900, 420, _LEAF_LIGHT)
    line = [(300.0, 520.0)]
    for step in range(1, 60):
        x = 300 + step * 10 + 40 * math.sin(step / 2.2)
        y = 500 + 95 * math.sin(step / 3.1) * (1 - abs(step - 30) / 45) + luck.uniform(-6, 6)
        line.append((x, y))
    for width, colour in ((26, "#e8edcf"), (6, "#8c9a6a")):
        pen.line(line, fill=colour, width=width, joint="curve")


def _rusty_leaf(pen: ImageDraw.ImageDraw, luck: Random) -> None:
    """A fig leaf with spots of rust."""
    for angle in (-100, -50, 0, 50, 100):
        turn = math.radians(angle - 90)
        tip = (640 + 380 * math.cos(turn), 560 + 380 * math.sin(turn))
        _blade(pen, (640, 600), tip, 190, _LEAF)
        pen.line([(640, 600), tip], fill=_LEAF_DARK, width=8)
    pen.line([(640, 600), (650, 900)], fill=_LEAF_LIGHT, width=20)
    for _ in range(150):
        x, y = luck.gauss(640, 105), luck.gauss(455, 80)
        _dot(pen, (x, y), luck.uniform(5, 13), luck.choice(("#a2562a", "#7d3f1e", "#c48345")))


def _split_fruit(pen: ImageDraw.ImageDraw, luck: Random) -> None:
    """A pomegranate that has burst."""
    _twig(pen, (640, 30), (640, 210))
    _dot(pen, (640, 520), 320, "#b03a34")
    pen.polygon(
        [(560, 815), (590, 930), (620, 850), (645, 940), (675, 850), (705, 930), (720, 815)], fill="#8f2a2a"
    )
    crack = [(650, 300), (590, 420), (660, 520), (600, 640), (690, 760), (730, 620), (700, 500), (740, 400)]
    pen.polygon(crack, fill="#f1d9b8", outline="#6d1f1f")
    for _ in range(46):
        _dot(pen, (luck.uniform(622, 712), luck.uniform(400, 690)), 16, luck.choice(("#c21f3a", "#8f1230")))


def _tag_on_stake(pen: ImageDraw.ImageDraw, luck: Random) -> None:
    """A tag with squares on a stake."""
    _ground(pen, luck)
    pen.rectangle((600, 360, 680, 880), fill=_WOOD)
    pen.rounded_rectangle((430, 150, 850, 560), 20, fill="#ffffff", outline=_INK, width=6)
    for row in range(11):
        for column in range(11):
            if luck.random() < 0.5:
                x, y = 475 + column * 30, 190 + row * 30
                pen.rectangle((x, y, x + 29, y + 29), fill=_INK)


def _basket(pen: ImageDraw.ImageDraw, luck: Random) -> None:
    """A basket of satsumas."""
    for row, many in ((330, 5), (420, 6), (500, 6)):
        for place in range(many):
            x = 640 + (place - (many - 1) / 2) * 145 + luck.uniform(-15, 15)
            _dot(pen, (x, row), 88, luck.choice(("#e58a1f", "#ee9a2e", "#d97a16")), "#8f5210")
            _dot(pen, (x + 10, row - 30), 10, _LEAF_DARK)
    pen.polygon([(150, 520), (1130, 520), (1010, 860), (270, 860)], fill=_BROWN, outline=_INK)
    for y in range(560, 860, 60):
        pen.line([(170, y), (1110, y)], fill="#6d5230", width=10)


def _blossom(pen: ImageDraw.ImageDraw, luck: Random) -> None:
    """Pink flowers along a bare twig."""
    _twig(pen, (80, 760), (1200, 260))
    for place in range(7):
        centre = (170 + place * 160, 720 - place * 72 + luck.uniform(-70, 30))
        for petal in range(5):
            turn = math.radians(petal * 72 + luck.uniform(0, 30))
            _dot(
                pen,
                (centre[0] + 46 * math.cos(turn), centre[1] + 46 * math.sin(turn)),
                40,
                "#eeb3bd",
                "#c9808f",
            )
        _dot(pen, centre, 20, "#b64a5e")


def _frozen_leaf(pen: ImageDraw.ImageDraw, luck: Random) -> None:
    """Leaves after the freeze: limp, brown, hanging."""
    _twig(pen, (100, 180), (1180, 140))
    for place in range(6):
        x = 200 + place * 175
        tip = (x + luck.uniform(-60, 60), luck.uniform(640, 800))
        _blade(pen, (x, 170), tip, 90, luck.choice(("#6f5a35", "#7d6a3a", "#5c4a2c")))
        pen.line([(x, 170), tip], fill="#3f331f", width=6)


def _three_leaflets(pen: ImageDraw.ImageDraw, luck: Random) -> None:
    """A shoot with leaves in threes, from below the union."""
    _ground(pen, luck)
    pen.rectangle((560, 300, 660, 880), fill=_WOOD)
    pen.line([(545, 520), (675, 470)], fill="#4d3722", width=14)
    pen.line([(640, 800), (800, 560), (850, 240)], fill=_LEAF_DARK, width=20, joint="curve")
    for x, y in ((800, 560), (830, 420), (850, 250)):
        for angle in (-60, 0, 60):
            turn = math.radians(angle - 60)
            tip = (x + 130 * math.cos(turn), y + 130 * math.sin(turn))
            _blade(pen, (x, y), tip, 56, _LEAF)


def _trunk_gum(pen: ImageDraw.ImageDraw, luck: Random) -> None:
    """Gum and sawdust at the foot of a trunk."""
    _ground(pen, luck)
    pen.polygon([(480, 60), (780, 60), (850, 880), (410, 880)], fill=_WOOD)
    for x in range(500, 780, 45):
        pen.line([(x, 60), (x + luck.uniform(-30, 30), 860)], fill="#5f432b", width=6)
    for x, y in ((520, 760), (640, 700), (700, 800)):
        _dot(pen, (x, y), 46, "#d59a3a", "#7a4d10")
        _dot(pen, (x + 20, y + 60), 26, "#c27f22")
    for _ in range(90):
        _dot(pen, (luck.gauss(620, 120), luck.uniform(850, 905)), 7, "#d8bd8b")


def _netted_bush(pen: ImageDraw.ImageDraw, luck: Random) -> None:
    """A bush with berries under a net."""
    _ground(pen, luck)
    for _ in range(60):
        _dot(
            pen,
            (luck.gauss(640, 190), luck.gauss(520, 130)),
            70,
            luck.choice((_LEAF, _LEAF_DARK, _LEAF_LIGHT)),
        )
    for _ in range(70):
        _dot(
            pen,
            (luck.gauss(640, 180), luck.gauss(540, 120)),
            17,
            luck.choice(("#3b4a7a", "#55659a", "#7c6a9a")),
        )
    for offset in range(-900, 1300, 110):
        pen.line([(offset, 100), (offset + 800, 900)], fill="#ffffff", width=4)
        pen.line([(offset + 800, 100), (offset, 900)], fill="#ffffff", width=4)


def _cut_limb(pen: ImageDraw.ImageDraw, _luck: Random) -> None:
    """A clean cut at the collar."""
    pen.polygon([(420, 0), (720, 0), (760, 960), (400, 960)], fill=_WOOD)
    pen.polygon([(700, 330), (860, 300), (880, 560), (735, 620)], fill="#6d4f34")
    pen.ellipse((815, 285, 925, 575), fill="#e3c48f", outline=_INK, width=5)
    for ring in (0.75, 0.5, 0.25):
        pen.ellipse(
            (870 - 55 * ring, 430 - 145 * ring, 870 + 55 * ring, 430 + 145 * ring), outline="#b48a52", width=4
        )


PICTURES: Mapping[str, Callable[[ImageDraw.ImageDraw, Random], None]] = MappingProxyType(
    {
        "mined leaf": _mined_leaf,
        "rusty leaf": _rusty_leaf,
        "split fruit": _split_fruit,
        "tag on a stake": _tag_on_stake,
        "basket": _basket,
        "blossom": _blossom,
        "frozen leaves": _frozen_leaf,
        "three leaflets": _three_leaflets,
        "gum": _trunk_gum,
        "netted bush": _netted_bush,
        "cut limb": _cut_limb,
    }
)


def _leaf(pen: ImageDraw.ImageDraw, middle: Point, length: float, width: float, colour: Colour) -> None:
    """A lying leaf with its veins."""
    left, right = (middle[0] - length / 2, middle[1]), (middle[0] + length / 2, middle[1])
    _blade(pen, left, right, width, colour)
    pen.line([(left[0] - 90, left[1] + 30), left, right], fill=_LEAF_DARK, width=10)
    for step in range(1, 8):
        x = left[0] + step * length / 8
        reach = width * 0.42 * math.sin(math.pi * step / 8)
        for side in (-1, 1):
            pen.line([(x, middle[1]), (x + 70, middle[1] + side * reach)], fill=_LEAF_DARK, width=4)


def _blade(pen: ImageDraw.ImageDraw, stem: Point, tip: Point, width: float, colour: Colour) -> None:
    """The outline of a leaf between its stem and its tip."""
    along = (tip[0] - stem[0], tip[1] - stem[1])
    length = math.hypot(*along)
    across = (-along[1] / length, along[0] / length)
    edge = []
    for side in (1, -1):
        steps = range(25) if side == 1 else range(24, -1, -1)
        for step in steps:
            share = step / 24
            bulge = side * width / 2 * math.sin(math.pi * share**0.85)
            edge.append(
                (
                    stem[0] + along[0] * share + across[0] * bulge,
                    stem[1] + along[1] * share + across[1] * bulge,
                )
            )
    pen.polygon(edge, fill=colour, outline=_LEAF_DARK)


def _dot(
    pen: ImageDraw.ImageDraw, at: Point, radius: float, fill: Colour, outline: Colour | None = None
) -> None:
    pen.ellipse(
        (at[0] - radius, at[1] - radius, at[0] + radius, at[1] + radius), fill=fill, outline=outline, width=4
    )


def _twig(pen: ImageDraw.ImageDraw, begins: Point, ends: Point) -> None:
    pen.line([begins, ends], fill=_WOOD, width=26)


def _ground(pen: ImageDraw.ImageDraw, luck: Random) -> None:
    pen.rectangle((0, 860, _WIDE, _HIGH), fill="#b79a6c")
    for _ in range(60):
        x = luck.uniform(0, _WIDE)
        pen.line([(x, 870), (x + luck.uniform(-18, 18), luck.uniform(815, 850))], fill=_LEAF, width=5)
