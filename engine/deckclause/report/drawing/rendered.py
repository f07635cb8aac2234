"""A drawing as PNG or as a PDF sheet, where a renderer is installed; there is none of our own."""

from __future__ import annotations

from importlib import import_module
from importlib.util import find_spec


class NoRendererError(RuntimeError):
    """No renderer is installed; the SVG is the drawing."""


def can_render() -> bool:
    """Return whether CairoSVG is installed."""
    if find_spec("cairosvg") is None:
        return False
    try:
        import_module("cairosvg")
    except (ImportError, OSError):  # the Cairo library itself may be missing
        return False
    return True


FORMS = (".svg", ".png", ".pdf")
"""The endings a drawing is written under."""


def drawing_bytes(svg: str, ending: str) -> bytes:
    """Return a drawing as a file of one of `FORMS`. Raises NoRendererError, saying what to install."""
    if ending == ".png":
        return png_of(svg)
    return pdf_of(svg) if ending == ".pdf" else svg.encode()


def png_of(svg: str, *, scale: float = 2.0) -> bytes:
    """Return the drawing as PNG bytes, `scale` dots to a unit of the drawing.

    Raises NoRendererError, saying what to install, where no renderer is found.
    """
    return _rendered("svg2png", svg, scale)


def pdf_of(svg: str) -> bytes:
    """Return the drawing as a PDF of one page, lines as lines and letters as letters.

    Raises NoRendererError, saying what to install, where no renderer is found.
    """
    return _rendered("svg2pdf", svg, 1.0)


def _rendered(how: str, svg: str, scale: float) -> bytes:
    try:
        cairosvg = import_module("cairosvg")
    except (ImportError, OSError) as problem:
        raise NoRendererError(
            "PNG and PDF of a drawing need CairoSVG: pip install cairosvg, or keep the SVG, which "
            "every browser shows"
        ) from problem
    rendered = getattr(cairosvg, how)(bytestring=svg.encode(), scale=scale, unsafe=False)
    if not isinstance(rendered, bytes):
        raise NoRendererError("the renderer gave no picture; keep the SVG")
    return rendered
