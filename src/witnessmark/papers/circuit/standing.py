"""Every run in a column and every junction at a height: the whole circuit, block by block.

The block of the rails comes first. Each further block hangs on one junction that stands already;
it goes into columns of its own beside that junction's bar, and between it and the next height, so
that it crosses nothing. Runs that no flat drawing has room for are put in last, where they cross
the least.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

from witnessmark.papers.circuit.blocks import Ends, blocks_of
from witnessmark.papers.circuit.columns import is_flat, stand_block
from witnessmark.papers.circuit.runs import Run


@dataclass(slots=True, kw_only=True)
class Standing:
    """Where runs and junctions stand, before there are lengths.

    Attributes
    ----------
    columns
        Column of each run, by its number.
    heights
        Rank of each junction from the top; no two are alike.
    """

    columns: dict[int, int] = field(default_factory=dict)
    heights: dict[str, int] = field(default_factory=dict)


def stand(runs: Sequence[Run], supply: str, ground: str, pins: Collection[str] = ()) -> Standing:
    """Return where every run and junction stands.

    Parameters
    ----------
    runs
        The runs.
    supply
        Key of the supply rail; empty where there is none.
    ground
        Key of the ground rail; empty where there is none.
    pins
        Junctions that a source inside a module feeds: they stand above its ground.
    """
    ends = [(run.first, run.last) for run in runs]
    ohms = [run.ohm for run in runs]
    seen = {vertex for pair in ends for vertex in pair}
    rails = (supply, ground) if supply in seen and ground in seen else None
    flat = _flat(ends, ohms, rails)
    standing = Standing()
    blocks = blocks_of([*(ends[at] for at in flat), *([rails] if rails else [])])
    waiting = [[flat[at] for at in block if at < len(flat)] for block in blocks]
    if rails:
        at = next(n for n, block in enumerate(blocks) if len(flat) in block)
        _put(standing, waiting.pop(at), ends, ohms, rails, "")
    waiting = [block for block in waiting if block]
    while waiting:
        at, hook = _next(standing, waiting, ends, supply, ground)
        block = waiting.pop(at)
        poles = _poles([ends[one] for one in block], hook, ground, supply, pins)
        _put(standing, block, ends, ohms, poles, hook)
    for at in range(len(runs)):
        if at not in standing.columns:
            _squeeze_in(standing, at, ends)
    return standing


def crossings(
    columns: dict[int, int], heights: dict[str, float] | dict[str, int], ends: Sequence[Ends]
) -> int:
    """Return how many columns pass through the bar of a junction that is not theirs.

    Parameters
    ----------
    columns
        Column of each run, by its number.
    heights
        Height of each junction.
    ends
        Both junctions of each run.
    """
    spans: dict[str, tuple[int, int]] = {}
    for at, column in columns.items():
        for key in ends[at]:
            low, high = spans.get(key, (column, column))
            spans[key] = min(low, column), max(high, column)
    found = 0
    for at, column in columns.items():
        top, bottom = sorted(heights[key] for key in ends[at])
        for key, (low, high) in spans.items():
            if key not in ends[at] and low <= column <= high and top < heights[key] < bottom:
                found += 1
    return found


def _flat(ends: Sequence[Ends], ohms: Sequence[float], rails: Ends | None) -> list[int]:
    """Return numbers of runs that can be drawn without a crossing, as many as are found.

    Those that resist most are given up first: without its ground wire, a lamp would stand on its
    head.
    """

    def fits(numbers: Sequence[int]) -> bool:
        every = [*(ends[at] for at in numbers), *([rails] if rails else [])]
        return all(is_flat([every[at] for at in block]) for block in blocks_of(every))

    kept = sorted(range(len(ends)), key=ohms.__getitem__)
    while not fits(kept):
        low, high = 1, len(kept)  # so many of the first fit; so many do not
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if fits(kept[:middle]) else (low, middle)
        del kept[high - 1]
    return sorted(kept)


def _next(
    standing: Standing,
    waiting: Sequence[Sequence[int]],
    ends: Sequence[Ends],
    supply: str,
    ground: str,
) -> tuple[int, str]:
    """Return the next block to put in, and the junction it hangs on: empty for one of its own."""
    for wanted in (set(standing.heights), {ground, supply}):
        for number, block in enumerate(waiting):
            for at in block:
                for key in ends[at]:
                    if key and key in wanted:
                        return number, key
    return 0, ""


def _poles(
    ends: Sequence[Ends], hook: str, ground: str, supply: str, pins: Collection[str]
) -> Ends:
    """Return upper and lower pole of a block: its hook and a junction next to that."""
    vertices = [vertex for pair in ends for vertex in pair]
    start = hook or next((vertex for vertex in vertices if vertex in pins), ends[0][0])
    near = [pair[1] if pair[0] == start else pair[0] for pair in ends if start in pair]
    fed = [vertex for vertex in near if vertex in pins]
    other = fed[0] if fed else near[0]
    if hook != supply and (hook == ground or fed) and hook:
        return other, start
    return start, other


def _put(
    standing: Standing,
    block: Sequence[int],
    ends: Sequence[Ends],
    ohms: Sequence[float],
    poles: Ends,
    hook: str,
) -> None:
    """Put a block in, in columns of its own beside the bar of its hook."""
    if not block:
        standing.heights |= {poles[0]: 0, poles[1]: 1}
        return
    stood = stand_block([ends[at] for at in block], [ohms[at] for at in block], poles)
    assert stood is not None, "a block that was flat"
    columns, heights = standing.columns, standing.heights
    hung = [column for at, column in columns.items() if hook in ends[at]]
    right = max(hung or columns.values(), default=-1)
    wide = max(stood.columns) + 1
    for at, column in columns.items():
        if column > right:
            columns[at] = column + wide
    for at, column in zip(block, stood.columns, strict=True):
        columns[at] = right + 1 + column
    before = sorted(heights, key=heights.__getitem__)
    fresh = [vertex for vertex in stood.order if vertex not in heights]
    if hook and hook in heights:
        place = before.index(hook) + (hook == poles[0])
    else:
        place = min(len(before), 1)
    order = before[:place] + fresh + before[place:]
    standing.heights = {vertex: rank for rank, vertex in enumerate(order)}


def _squeeze_in(standing: Standing, at: int, ends: Sequence[Ends]) -> None:
    """Put a run into a column of its own, where it crosses the least."""
    for key in ends[at]:
        standing.heights.setdefault(key, len(standing.heights))
    best: tuple[int, int, dict[int, int]] | None = None
    for place in range(max(standing.columns.values(), default=-1) + 2):
        columns = {one: column + (column >= place) for one, column in standing.columns.items()} | {
            at: place
        }
        crossed = crossings(columns, standing.heights, ends)
        span = sum(abs(columns[one] - place) for one in columns if set(ends[one]) & set(ends[at]))
        if best is None or (crossed, span) < best[:2]:
            best = crossed, span, columns
    assert best is not None
    standing.columns = best[2]
