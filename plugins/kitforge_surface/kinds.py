"""The kinds of findings of the surface check."""

from __future__ import annotations

from kitforge.findings import Kind, Severity

CUTS_NOTHING = Kind("cuts-nothing", Severity.WARNING, "A step takes no wood away where its part lies.")
CUT_AWAY_LATER = Kind("cut-away-later", Severity.WARNING, "Later steps cut away what a step has made.")
RIDGES_LEFT = Kind("ridges-left", Severity.ERROR, "Strips stay standing between the passes of a cleared floor.")
FACES_MEET = Kind("faces-meet", Severity.ERROR, "A cut from one face comes out in a cut from the other.")
WEB_THIN = Kind("web-thin", Severity.WARNING, "The wood between cuts from the top and from the bottom is thin.")

KINDS = (CUTS_NOTHING, CUT_AWAY_LATER, RIDGES_LEFT, FACES_MEET, WEB_THIN)
