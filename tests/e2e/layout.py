"""What a person would see as broken: a page wider than the screen, words off its edge, cut, or over each other."""

from __future__ import annotations

from playwright.sync_api import Page

# Text is measured line by line as painted; a line's box is shrunk to about its letters, so that tight lines and
# accents do not count. Pictures, words for screen readers only and what a person can scroll to are left out.
FAULTS = """(width) => {
    const faults = [];
    const page = document.scrollingElement;
    if (page.scrollWidth > width) faults.push(`the page is ${page.scrollWidth} px wide`);
    const lines = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
        const element = node.parentElement;
        if (!node.data.trim() || element.closest('svg, script, style, option, nav[aria-label="Skip"]')) continue;
        if (!element.checkVisibility({ opacityProperty: true, visibilityProperty: true })) continue;
        let scrolls = false, reader = false, holder = null;
        for (let up = element; up && up !== document.body; up = up.parentElement) {
            const style = getComputedStyle(up);
            const box = up.getBoundingClientRect();
            if (style.clipPath !== 'none' || (box.width <= 1 && style.overflow === 'hidden')) reader = true;
            if (/(auto|scroll)/.test(style.overflowX)) scrolls = true;
            if (!holder && /(hidden|clip)/.test(style.overflowX + style.overflowY)) holder = box;
        }
        if (reader) continue;
        const range = document.createRange();
        range.selectNodeContents(node);
        for (const box of range.getClientRects()) {
            if (box.width < 2 || box.height < 2) continue;
            const inset = box.height * 0.22;
            const line = { node, element, left: box.left, right: box.right, top: box.top + inset,
                           bottom: box.bottom - inset, words: node.data.trim().slice(0, 40),
                           sill: element.closest('#sill'), top_layer: element.closest('dialog') };
            lines.push(line);
            if (!scrolls && (line.left < -1 || line.right > width + 1)) faults.push(`off the edge: ${line.words}`);
            else if (holder && !scrolls && (line.left < holder.left - 2 || line.right > holder.right + 2
                || line.top < holder.top - 2 || line.bottom > holder.bottom + 2)) faults.push(`cut: ${line.words}`);
        }
    }
    for (let i = 0; i < lines.length; i += 1) {
        for (let j = i + 1; j < lines.length; j += 1) {
            const [a, b] = [lines[i], lines[j]];
            if (a.node === b.node || a.sill !== b.sill || a.top_layer !== b.top_layer) continue;
            const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
            const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
            if (across > 2 && down > 2) faults.push(`over each other: ${a.words} | ${b.words}`);
        }
    }
    return [...new Set(faults)];
}"""
# Width, height and how large the text is: a small old phone, a usual one, a big one.
NARROW = ((320, 568, 1), (390, 844, 1), (430, 932, 1), (320, 568, 2), (390, 844, 2))


WHOLE = """() => {
    const whole = new CSSStyleSheet();
    whole.replaceSync('* { content-visibility: visible !important }');
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, whole];
}"""


def lay_out_all(page: Page) -> None:
    """Lays out the rows far from the window too: they stand at a guessed height, in colours of the theme before."""
    page.evaluate(WHOLE)


def layout_faults(page: Page) -> list[str]:
    """Returns what is broken at phone widths and with text twice as large, and leaves the page as it was."""
    size = page.viewport_size
    found: list[str] = []
    lay_out_all(page)
    for width, height, text in NARROW:
        page.evaluate("(size) => { document.documentElement.style.fontSize = size }", f"{100 * text}%")
        page.set_viewport_size({"width": width, "height": height})
        page.wait_for_timeout(60)
        found += [f"{width} px, text {text}x: {fault}" for fault in page.evaluate(FAULTS, width)]
    page.evaluate("document.documentElement.style.fontSize = ''")
    if size:
        page.set_viewport_size(size)
    return found
