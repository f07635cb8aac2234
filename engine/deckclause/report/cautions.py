"""The cautions every output carries."""

from __future__ import annotations

CAUTIONS: tuple[str, ...] = (
    "This is not an engineered design and not an approval. Local code, the building official and "
    "licensed practice decide.",
    "Figures marked * are from memory and unverified: read the code before relying on them.",
    "What is not known, not modelled or outside the tables is never counted as complying.",
)

IN_WORDS: tuple[str, ...] = (
    CAUTIONS[0],
    "Figures said to be from memory are unverified: read the code before relying on them.",
    CAUTIONS[2],
)
"""The same where standings are written out and nothing is marked with a star."""
