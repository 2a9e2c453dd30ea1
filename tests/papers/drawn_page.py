"""A drawing on a page of its own in Chromium, and what stands on what there."""

from contextlib import contextmanager
from pathlib import Path

import witnessmark.web
from tests.web.browser import CHROMIUM

STATIC = Path(witnessmark.web.__file__).parent / "static" / "witnessmark"

# Every text of a drawing against every other text and against points along every stroke. The line
# box of a typeface reaches above and below its letters, so a little of it is taken off.
CLASHES = """async () => {
  await document.fonts.ready;
  const found = [];
  const drawn = [...document.querySelectorAll('svg.cct')]
    .filter(svg => svg.getClientRects().length);
  if (!drawn.length) found.push('nothing was drawn');
  for (const svg of drawn) {
    const scale = svg.getScreenCTM().a, frame = svg.getBoundingClientRect();
    const texts = [...svg.querySelectorAll('text')].map(text => {
      const box = text.getBoundingClientRect(), high = box.height;
      return {words: text.textContent, inside: text.closest('.sym, .in') !== null,
              left: box.left + 1, right: box.right - 1,
              top: box.top + high * .2, bottom: box.bottom - high * .2}; })
      .filter(text => text.right > text.left);
    const labels = texts.filter(text => !text.inside);
    labels.forEach((one, at) => labels.slice(at + 1).forEach(other => {
      if (Math.min(one.right, other.right) > Math.max(one.left, other.left)
          && Math.min(one.bottom, other.bottom) > Math.max(one.top, other.top))
        found.push(`${one.words} on ${other.words}`); }));
    for (const text of labels)
      if (text.left < frame.left - 1 || text.right > frame.right + 1 || text.top < frame.top - 1
          || text.bottom > frame.bottom + 1) found.push(`${text.words} outside the frame`);
    for (const shape of svg.querySelectorAll('path, circle')) {
      if (shape.closest('defs, .rul, .under')) continue;
      const matrix = shape.getScreenCTM(), long = shape.getTotalLength();
      const box = shape.getBoundingClientRect();
      const near = labels.filter(text => text.left <= box.right && text.right >= box.left
        && text.top <= box.bottom && text.bottom >= box.top);
      if (!near.length) continue;
      for (let at = 0; at <= long; at += 3) {
        const point = shape.getPointAtLength(at).matrixTransform(matrix);
        for (const text of near)
          if (point.x > text.left && point.x < text.right
              && point.y > text.top && point.y < text.bottom) {
            found.push(`${shape.getAttribute('class') || shape.parentNode.getAttribute('class')} `
              + `${shape.tagName} on ${text.words}`); at = long; }
      }
    }
    if (!document.fonts.check('17px "Archivo Var"')) found.push('not in its own typeface');
    if (!labels.length) found.push('no label was drawn');
  }
  return [...new Set(found)]; }"""


@contextmanager
def chromium():
    """Open a browser without a server."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as tools:
        browser = tools.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        try:
            yield browser
        finally:
            browser.close()


def page_with(browser, folder, drawings, width=1440):
    """A page with drawings, one below the other, in the screens' own style."""
    sheets = [STATIC / name for name in ("tokens.css", "look.css", "drawn.css")]
    links = "".join(f'<link rel="stylesheet" href="{sheet.as_uri()}">' for sheet in sheets)
    sections = "".join(f"<section class='plate'>{drawing}</section>" for drawing in drawings)
    path = folder / "drawn.html"
    path.write_text(f"<!doctype html>{links}<main class='page'>{sections}</main>")
    page = browser.new_page(viewport={"width": width, "height": 900})
    page.goto(path.as_uri())
    return page
