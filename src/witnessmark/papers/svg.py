"""Texts, frames and signs that drawings are made of: attributes and classes only, no style."""

from html import escape


def px(value: float) -> str:
    """Return a length as SVG writes it, to a tenth.

    Parameters
    ----------
    value
        Length. [px]
    """
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def framed(
    title: str, width: float, height: float, classes: str, body: str, times: float = 0.0
) -> str:
    """Return a whole drawing with its frame and name.

    Parameters
    ----------
    title
        What the drawing is, for a reader who cannot see it.
    width
        Width. [px]
    height
        Height. [px]
    classes
        Classes of the element.
    body
        What is inside.
    times
        Size on the page, in times of its own; 0 where the page says it. [1]
    """
    size = f'width="{px(width * times)}" height="{px(height * times)}" ' if times else ""
    return (
        f'<svg {size}viewBox="0 0 {px(width)} {px(height)}" class="{classes}" role="img" '
        f'aria-label="{escape(title)}">{body}</svg>'
    )


def text_at(x: float, y: float, text: str, classes: str, anchor: str = "", *, of: str = "") -> str:
    """Return one text, escaped; nothing for an empty one.

    Parameters
    ----------
    x
        Across. [px]
    y
        Down. [px]
    text
        The text.
    classes
        Classes of the element.
    anchor
        "end" or "middle"; empty for the start.
    of
        The whole name of which it is a line, for the page to know it by.
    """
    if not text:
        return ""
    held = f' text-anchor="{anchor}"' if anchor else ""
    if of and of != text:
        held += f' data-of="{escape(of)}"'
    return f'<text x="{px(x)}" y="{px(y)}"{held} class="{classes}">{escape(text)}</text>'


def hatch(name: str) -> str:
    """Return the hatch pattern.

    Parameters
    ----------
    name
        Name of the pattern.
    """
    return (
        f'<defs><pattern id="{name}" width="7" height="7" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><path class="hatl" d="M0 0V7" stroke-width="2.4"/>'
        "</pattern></defs>"
    )
