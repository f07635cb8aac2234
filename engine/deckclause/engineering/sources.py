"""The published documents the engineering rests on, by short key.

Only facts are taken from them, in our own words. A key marked a mirror is a public copy or a
tool that restates the standard's figures; the standard itself was not at hand.
"""

from __future__ import annotations

SOURCES: dict[str, str] = {
    "NDS-12K": "NDS Table 12K as scanned in an Everett WA permit file (lfportal.everettwa.gov "
    "documents 1831805 page 32 and 1614580 page 114)",
    "NDS-12.2A": "NDS Table 12.2A as scanned in Everett WA permit files (lfportal.everettwa.gov "
    "documents 1831805 page 33 and 1614580 page 87)",
    "XC-lumber": "NDS Supplement Tables 4A and 1A and NDS Table 12.3.3A as restated in the XC open "
    "finite-element library (github.com/xcfem/xc, materials/awc_nds; mirror)",
    "SFPA-metric": "Southern Pine Use Guide, metric edition, as restated in the XC open "
    "finite-element library (values rounded to 0.1 MPa; mirror)",
    "HUD-RSDG": "Residential Structural Design Guide, 2nd edition, US HUD 2017, worked examples as "
    "restated in the XC open finite-element library's tests (mirror)",
    "AWC-examples": "AWC, Structural Wood Design Solved Example Problems, example E2.3 as restated "
    "in the XC open finite-element library's tests (mirror)",
    "SantaAna-11.2": "NDS section 11.2.1 as scanned in a Santa Ana CA file (publicdocs.santa-ana.org "
    "4207 page 13)",
    "MST-5260": "Missouri S&T timber course notes, bolt yield limit equations "
    "(web.mst.edu/jthomas/classes/5260 13/03)",
    "SEAINT-2006": "Structural engineers' mailing list, April 2006 "
    "(seaintarchive.org 2006b msg00402)",
    "DCA6-T2": "AWC DCA 6 (2012-IRC version) Table 2, scanned in an Everett WA permit file "
    "(lfportal.everettwa.gov document 1003584 page 24)",
    "DCA6-2009": "AWC DCA 6 (2009-IRC version) Table 2 and May 2013 addendum (studylib.net 12741497, "
    "scribd.com 274780164)",
    "DCA6-T4": "AWC DCA 6 (2012-IRC version) Table 4, scanned in an Everett WA permit file "
    "(lfportal.everettwa.gov document 1003584 page 32)",
    "WI-T6": "Wisconsin CR 15-043 Appendix B Table 6 (docs.legis.wisconsin.gov), same number series "
    "as the IRC ledger table",
    "WA-tip5": "Washington municipal deck tip sheet, 60 psf live load ledger rows "
    "(lfportal.everettwa.gov document 1911710 page 8)",
    "Edmonds-placement": "IRC ledger placement table as reprinted by the City of Edmonds WA "
    "(weblink.edmondswa.gov id 1487848)",
    "NDS-memory": "NDS 2018 from memory, not seen in a source",
    "TR12-memory": "AWC TR12 from memory, not seen in a source; equal to the NDS form at no gap",
    "EC5-8.1.4": "EN 1995-1-1 section 8.1.4, Eq. (8.4), with its corrigendum AC:2006, as restated in "
    "Swedish Wood, Glulam Handbook volume 2, pages 202 and 203, and in public calculation notes "
    "that quote both (mirror)",
    "textbook": "Euler column and elastic beam theory, any mechanics textbook",
}


def cite(key: str) -> str:
    """Return the citation of a source key; KeyError if it is not held.

    >>> cite("NDS-memory")
    'NDS 2018 from memory, not seen in a source'
    """
    return SOURCES[key]
