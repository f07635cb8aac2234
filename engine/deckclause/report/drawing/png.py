"""A drawing as PNG, where a renderer is installed; there is none of our own."""

from __future__ import annotations

from importlib import import_module
from importlib.util import find_spec


class NoRendererError(RuntimeError):
    """No renderer for PNG is installed; the SVG is the drawing."""


def can_render() -> bool:
    """Return whether CairoSVG is installed."""
    if find_spec("cairosvg") is None:
        return False
    try:
        import_module("cairosvg")
    except (ImportError, OSError):  # the Cairo library itself may be missing
        return False
    return True


def png_of(svg: str, *, scale: float = 2.0) -> bytes:
    """Return the drawing as PNG bytes, `scale` dots to a unit of the drawing.

    Raises NoRendererError, saying what to install, where no renderer is found.
    """
    try:
        cairosvg = import_module("cairosvg")
    except (ImportError, OSError) as problem:
        raise NoRendererError(
            "PNG needs CairoSVG: pip install cairosvg, or keep the SVG, which every browser shows"
        ) from problem
    rendered = cairosvg.svg2png(bytestring=svg.encode(), scale=scale, unsafe=False)
    if not isinstance(rendered, bytes):
        raise NoRendererError("the renderer gave no picture; keep the SVG")
    return rendered
