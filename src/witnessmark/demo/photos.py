"""Drawn pictures that stand in for photographs at the invented school; each says so."""

from collections.abc import Callable
from io import BytesIO
from math import cos, pi, sin

from PIL import Image, ImageDraw

WIDTH, HEIGHT = 1280, 880
WALL, SHADE, STEEL, BRIGHT = "#8e97a2", "#6f7883", "#abb4bd", "#cad0d8"
LINE, DARK, RUST, PAINT = "#29313a", "#1f252c", "#5b3a20", "#d9a300"
Draw = ImageDraw.ImageDraw
Point = tuple[float, float]


def photo(subject: str) -> bytes:
    """Return a JPEG of one of `SUBJECTS`."""
    image = Image.new("RGB", (WIDTH, HEIGHT), WALL)
    pen = ImageDraw.Draw(image)
    pen.polygon([(0, 640), (WIDTH, 480), (WIDTH, HEIGHT), (0, HEIGHT)], fill=SHADE)
    SUBJECTS[subject](pen)
    pen.rectangle((0, HEIGHT - 64, WIDTH, HEIGHT), fill="#f6f8fc")
    pen.text((28, HEIGHT - 50), f"Demo, invented: {subject}", fill="#141e29", font_size=34)
    out = BytesIO()
    image.save(out, "JPEG", quality=82)
    return out.getvalue()


def _circle(
    pen: Draw, at: Point, radius: float, fill: str, edge: str = LINE, width: int = 8
) -> None:
    x, y = at
    pen.ellipse(
        (x - radius, y - radius, x + radius, y + radius), fill=fill, outline=edge, width=width
    )


def _around(at: Point, radius: float, turn: float) -> Point:
    return at[0] + radius * cos(turn), at[1] + radius * sin(turn)


def _bolt(pen: Draw, at: Point, size: float, stripe: float | None) -> None:
    _circle(pen, at, size, BRIGHT, width=6)
    pen.polygon(
        [_around(at, size * 0.62, k * pi / 3) for k in range(6)], fill="#9fa7b2", outline=LINE
    )
    if stripe is not None:
        pen.line(
            [_around(at, size * 0.2, stripe), _around(at, size * 1.9, stripe)], fill=PAINT, width=26
        )


def _bolt_ring(pen: Draw, striped: bool, turned: int | None = None) -> None:
    centre = (640.0, 400.0)
    _circle(pen, centre, 340, STEEL)
    _circle(pen, centre, 140, "#626b76")
    for k in range(6):
        turn = k * pi / 3 + 0.2
        stripe = None if not striped else turn + (0.9 if k == turned else 0.0)
        _bolt(pen, _around(centre, 250, turn), 60, stripe)


def _drum_label(pen: Draw) -> None:
    pen.rounded_rectangle((200, 120, 1080, 760), 40, fill="#3d5a80", outline=LINE, width=10)
    pen.rectangle((330, 230, 950, 620), fill="#e0e5ea", outline=LINE, width=8)
    pen.text((380, 270), "DRUM C2", fill=LINE, font_size=92)
    pen.text((380, 400), "old coolant", fill=LINE, font_size=64)
    pen.text((380, 490), "9.4 L, 17 Nov", fill=LINE, font_size=64)


def _belt_run(pen: Draw) -> None:
    pen.line([(330, 140), (880, 330)], fill=DARK, width=56)
    pen.line([(420, 470), (800, 780)], fill=DARK, width=56)
    _circle(pen, (360, 310), 190, "#c5cbd3")
    _circle(pen, (900, 560), 240, "#c5cbd3")
    _circle(pen, (360, 310), 40, LINE)
    _circle(pen, (900, 560), 50, LINE)


def _weep_hole(pen: Draw) -> None:
    pen.rectangle((240, 120, 1040, 600), fill="#b7bfc8", outline=LINE, width=10)
    pen.line([(640, 520), (625, 640), (690, 720), (660, 820)], fill=RUST, width=46, joint="curve")
    _circle(pen, (640, 480), 46, LINE)


def _top_hose(pen: Draw) -> None:
    pen.line([(-20, 720), (380, 700), (620, 300), (1300, 200)], fill=DARK, width=190, joint="curve")
    for x, y in ((500, 430), (590, 340)):
        pen.line([(x - 60, y - 70), (x + 110, y + 90)], fill="#d6dce3", width=34)


def _shoe(pen: Draw, lining: float) -> None:
    box = (260.0, 120.0, 1020.0, 880.0)
    pen.arc(box, 190, 350, fill=LINE, width=int(70 + lining))
    pen.arc(
        tuple(v + 34 * s for v, s in zip(box, (1, 1, -1, -1), strict=True)),
        190,
        350,
        fill=STEEL,
        width=60,
    )
    pen.line([(300, 560), (980, 560)], fill=LINE, width=10)
    pen.text((430, 600), f"lining {'worn' if lining < 30 else 'new'}", fill="#f6f8fc", font_size=64)


def _wheel_nuts(pen: Draw) -> None:
    _circle(pen, (640, 400), 350, DARK)
    _circle(pen, (640, 400), 270, STEEL)
    for k in range(5):
        turn = k * 2 * pi / 5 - pi / 2
        _bolt(pen, _around((640, 400), 150, turn), 52, turn)


def _cable_route(pen: Draw) -> None:
    _circle(pen, (880, 420), 300, STEEL)
    pen.line(
        [(60, 200), (420, 230), (560, 520), (860, 640), (1240, 620)],
        fill=DARK,
        width=44,
        joint="curve",
    )
    pen.rectangle((360, 160, 470, 300), fill=BRIGHT, outline=LINE, width=8)


def _ground_stud(pen: Draw) -> None:
    pen.polygon([(0, 520), (WIDTH, 430), (WIDTH, 700), (0, 760)], fill=STEEL, outline=LINE)
    _circle(pen, (640, 540), 130, RUST)
    _bolt(pen, (640, 540), 78, None)
    pen.line([(640, 460), (760, 260), (1180, 120)], fill=DARK, width=54, joint="curve")


def _four_bores(pen: Draw) -> None:
    pen.rectangle((80, 180, 1200, 660), fill=STEEL, outline=LINE, width=10)
    for k in range(4):
        _circle(pen, (220 + 280 * k, 420), 112 - 5 * k, "#3a434d")
        pen.text((200 + 280 * k, 560), str(k + 1), fill=LINE, font_size=64)


def _stands(pen: Draw) -> None:
    pen.rectangle((0, 180, WIDTH, 300), fill=DARK)
    for x in (320, 960):
        pen.polygon([(x, 300), (x - 150, 760), (x + 150, 760)], fill=STEEL, outline=LINE)
        pen.rectangle((x - 60, 260, x + 60, 330), fill=BRIGHT, outline=LINE, width=8)


def _bore_gauge(pen: Draw) -> None:
    pen.arc((180, 160, 760, 740), 90, 270, fill=LINE, width=70)
    pen.rectangle((460, 160, 1180, 250), fill=STEEL, outline=LINE, width=8)
    pen.rectangle((460, 650, 640, 740), fill=STEEL, outline=LINE, width=8)
    pen.line([(540, 250), (540, 650)], fill=DARK, width=40)
    _circle(pen, (900, 460), 150, BRIGHT)


def _fuse_holder(pen: Draw) -> None:
    pen.rounded_rectangle((300, 200, 980, 640), 30, fill=DARK, outline=LINE, width=10)
    pen.rectangle((420, 300, 860, 480), fill="#d9a300", outline=LINE, width=8)
    pen.text((560, 340), "20", fill=LINE, font_size=96)


SUBJECTS: dict[str, Callable[[Draw], None]] = {
    "label on drum C2": _drum_label,
    "belt run before removal": _belt_run,
    "belt run with the gauge": _belt_run,
    "gasket face, clean": lambda pen: _bolt_ring(pen, striped=False),
    "stands under the lifting points": _stands,
    "right shoe, lining thin": lambda pen: _shoe(pen, 14),
    "bore gauge set in the micrometer": _bore_gauge,
    "coolant track below the weep hole": _weep_hole,
    "pump bolts with paint stripes": lambda pen: _bolt_ring(pen, striped=True),
    "pump bolt 3, stripe turned": lambda pen: _bolt_ring(pen, striped=True, turned=2),
    "top hose and clamp": _top_hose,
    "left shoe, lining worn": lambda pen: _shoe(pen, 8),
    "left shoe, new lining": lambda pen: _shoe(pen, 60),
    "right shoe, new lining": lambda pen: _shoe(pen, 60),
    "wheel nuts with paint stripes": _wheel_nuts,
    "park brake cable, clear of the drum": _cable_route,
    "ground stud": _ground_stud,
    "four bush bores": _four_bores,
    "fuse holder F12": _fuse_holder,
}
