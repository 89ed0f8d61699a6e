"""Published worked examples and derived figures, each computed by the row of the worksheet that is used for it."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from sheet_rows import row

from kitforge.cutting.holding import friction_hold, shear_hold, vacuum_normal
from kitforge.cutting.motion import corner_speed, move_time
from kitforge.cutting.shape import point_length
from kitforge.model.workshop import MaterialKind
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.wood import nail_lateral, nail_withdrawal, screw_withdrawal

EXAMPLES = yaml.safe_load((Path(__file__).parent / "examples.yaml").read_text(encoding="utf-8"))["examples"]
INCH, LBF = 25.4, 4.4482216
FORCE = cutting_data().cutting_force
SAFETY = cutting_data().safety_factors
MINUTE, MM_PER_M = 60, 1000


def specific_force(h: float, rho: float, g: float = 1.0) -> float:
    """Return kc in N/mm2 at a chip h mm and a density, neither at the used edge nor at the end of the band."""
    known = {"kc_ref": FORCE.kc_ref.value, "h_ref": FORCE.h_ref.value, "rho_ref": FORCE.density_ref.value}
    exponents = {"m": FORCE.m.value, "nd": FORCE.n.value}
    constant = row("Af", **known, **exponents, rho=rho, g_worst=g, u=1.0, B=1.0)
    chip = row("push.h_e", h=h, p__e=1.0, h_low=FORCE.h_clamp.low, h_high=FORCE.h_clamp.high)
    return row("push.kc", Af=constant, h_e=chip, m=FORCE.m.value)


def feed(fz: float, z: int, n: float) -> float:
    return row("vf_chip", fz_0=fz, z=z, n=n)


def feed_per_tooth(vf: float, z: int, n: float) -> float:
    return row("fz", vf=vf, z=z, n=n)


def power(kc: float, removal: float) -> float:
    """Return W from N/mm2 and mm3/min."""
    return row("power.P", kcm=kc, Q=removal, k60=60_000)


def removal(width: float, depth: float, vf: float) -> float:
    return row("power.Q", p__S=width * depth, fz=vf, z=1, n=1)


def mean_chip(fz: float, x: float) -> float:
    return fz * row("meet.km", xw=x)


def angle(x: float) -> float:
    """Return the engaged angle, degrees, from the teeth that cut at once of very many."""
    return row("meet.teeth", z=1e6, xw=x) * 360 / 1e6


def deflection(F: float, L: float, D: float, E: float) -> float:
    """Return how far a cutter bends that is fluted all along."""
    return F * row("c", E=E, l1=L, d1=row("d1", q_core=0.8, D=D), L=L, DMM=D)


def stress(F: float, L: float, D: float) -> float:
    return F * row("cs", l1=L, d1=row("d1", q_core=0.8, D=D), L=L, DMM=D)


def cusp(R: float, s: float, t: float = 0.0) -> float:
    return row("hc", R=R, half_s=row("half_s#1", s=s, slope=t))


def bowl_cusp(D: float, r: float, s: float) -> float:
    return row("hc", R=r, half_s=row("half_s#0", s=s, b=row("b", D=D, R=r)))


def stepover_for_cusp(R: float, h: float) -> float:
    return row("s <= wanted cusp", hc_top=h, R=R, slope=0.0)


def v_depth(w: float, t: float, A: float) -> float:
    """Return the depth at which a V groove is `w` wide, found by halving."""
    low, high = 0.0, 100.0
    for _ in range(60):
        middle = (low + high) / 2
        wide = row("meet.De", D=99.0, w=t, ap=middle, A=A, hair=1e-6)
        low, high = (middle, high) if wide < w else (low, middle)
    return low


CALLS: dict[str, Callable[..., float]] = {
    "P1": lambda D, n: row("v_tip", at__De=D, n=n, k_rim=MINUTE * MM_PER_M) * MINUTE,
    "P2": feed_per_tooth,
    "P3": feed,
    "P4": lambda run, D, fz, z, n: move_time(run + D, feed(fz, z, n) / 60, 1e9),
    "P5a": lambda vc, D: row("n_rim", v_rim=vc / MINUTE, k_rim=MINUTE * MM_PER_M, D=D),
    "P5b": feed_per_tooth,
    "P5c": lambda kc, ap, ae, vf, eta: power(kc, removal(ae, ap, vf)) / eta / 1000,
    "P6": lambda kc, ap, f, vc, eta: power(kc, removal(f, ap, vc * MM_PER_M)) / eta / 1000,
    "P7": lambda d1, L1, L2: d1 * deflection(1, L2, 6, 6e5) / deflection(1, L1, 6, 6e5),
    "P8": lambda hm, k: hm / row("meet.e", A=2 * (90 - k)),
    "P9a": angle,
    "P9b": angle,
    "P9c": angle,
    "P10a": lambda n, z, fz: feed(fz, z, n),
    "P10b": lambda n, z, fz: feed(fz, z, n),
    "P11": lambda vf, n, z: feed_per_tooth(vf, z, n),
    "P12": lambda G, D: screw_withdrawal(G, D * INCH, INCH) / LBF / SAFETY["screws"].value,
    "P13": lambda: vacuum_normal(0.60 * 14.7, 1.0),
    "P14": lambda w, length: w * length / 100,
    "P15": lambda G, D: nail_withdrawal(G, D * INCH, INCH) / LBF / SAFETY["nails"].value,
    "C1": lambda Dc, ap, fz, z, n: removal(0.75 * Dc, ap, feed(fz, z, n)),
    "C2": lambda u, Q: power(u * 1000, Q) / 1000,
    "C3": lambda fz, x: fz * row("meet.kx", xw=x),
    "C4": mean_chip,
    "C5": mean_chip,
    "C6": lambda x: row("thinning", at__kx_x=row("meet.kx_x", x=x)),
    "C7": cusp,
    "C8": cusp,
    "C9": stepover_for_cusp,
    "C10": cusp,
    "C11": bowl_cusp,
    "C12": v_depth,
    "C13": v_depth,
    "C14": point_length,
    "C15": lambda dz, a: row("Lr", ap=dz, a_in=a),
    "C16": lambda kr, h, rho, g: specific_force(h, rho, g) * kr / FORCE.kc_ref.value,
    "C17": lambda fz, rho, ap, ae, z, n: power(
        specific_force(mean_chip(fz, 1.0), rho), removal(ae, ap, feed(fz, z, n))
    ),
    "C18": lambda fz, rho, ap: row("push.Ft", kc=specific_force(fz, rho), edge=ap, h=fz),
    "C19": deflection,
    "C20": deflection,
    "C21": deflection,
    "C22": stress,
    "C23": shear_hold,
    "C24": lambda mu, dp, A, S: friction_hold(mu, vacuum_normal(dp, A), S),
    "C25": lambda d, p: vacuum_normal(p, math.pi * d**2 / 4),
    "C26": nail_withdrawal,
    "C27": lambda d: nail_lateral(MaterialKind.SOFTWOOD, 0.40, d),
    "C28": screw_withdrawal,
    "C29": lambda G, D: nail_withdrawal(G, D * INCH, INCH) / LBF * 6900 / 7850,
    "C31": lambda n, N, mu, S: friction_hold(mu, n * N, S),
    "C32": move_time,
    "C33": lambda L, a: move_time(L, 50, a),
    "C34": lambda a, tol, phi: corner_speed(phi, a, tol),
    "C35": lambda D, n: row("v_tip", at__De=D, n=n, k_rim=MINUTE * MM_PER_M),
    "C36": specific_force,
}
# The metric constants of the handbook and the inch ones of the design standard are rounded apart by a few thousandths.
ROUNDED = {"P12": 1.0, "P15": 0.5, "C29": 0.5}


def test_every_example_is_computed() -> None:
    """No example of the list is left out and none is computed that the list does not hold."""
    assert set(CALLS) == {example["id"] for example in EXAMPLES}


@pytest.mark.parametrize("example", EXAMPLES, ids=[example["id"] for example in EXAMPLES])
def test_example_agrees_with_its_source(example: dict[str, Any]) -> None:
    """The project's row gives the source's answer within the source's rounding."""
    tolerance = max(example["tol"], ROUNDED.get(example["id"], 0.0))
    assert CALLS[example["id"]](*example["in"].values()) == pytest.approx(example["out"], abs=tolerance), example[
        "source"
    ]


def test_foam_tape_of_sixty_square_centimetres_carries_a_kilogram() -> None:
    """P14 the other way round: the long-term strength of the tables carries 1 kg on 80 x 75 mm (note on foam tape)."""
    strength = cutting_data().tape_shear["foam_tape_long"].low
    assert shear_hold(strength, 80 * 75, 1.0) / 9.80665 == pytest.approx(1.0, rel=0.03)


@pytest.mark.parametrize(
    ("h", "kc"),
    [(0.02, 68.5), (0.03, 58.3), (0.05, 47.5), (0.08, 39.4), (0.10, 36.0), (0.15, 30.6), (0.20, 27.3), (0.30, 23.2)],
)
def test_specific_force_falls_as_chips_thicken(h: float, kc: float) -> None:
    """Derived table at 650 kg/m3; the exponent form is that of a published milling catalogue (kc = kc1 / hm^mc)."""
    assert specific_force(h, 650) == pytest.approx(kc, abs=0.06)


def test_force_model_lies_near_every_reading() -> None:
    """Readings of publications (two read, the rest recalled): each within the stated band of x/ 1.8."""
    band = cutting_data().cutting_force.band
    for reading in cutting_data().kc_readings:
        h, density = reading.h or 0.12, reading.density or 680
        grain = 2.0 if "end grain" in reading.what else 1.0
        ratio = specific_force(h, density, grain) / reading.kc.middle
        assert band.low < ratio < band.high or "edge parallel" in reading.what, reading.what


@pytest.mark.parametrize(
    ("radius", "stepover", "height"),
    [(3, 0.5, 0.01043), (3, 0.6, 0.01504), (3, 1.2, 0.06061), (6.35, 1.0, 0.01972)],
)
def test_cusp_table(radius: float, stepover: float, height: float) -> None:
    """Exact cusp formula (shop page, 2006), values worked out."""
    assert cusp(radius, stepover) == pytest.approx(height, abs=6e-6)


def test_short_mean_chip_is_eleven_percent_high_at_half_engagement() -> None:
    """The short form of a milling catalogue against the exact one of another."""
    assert 0.1 * math.sqrt(0.5) / mean_chip(0.1, 0.5) == pytest.approx(1.11, abs=0.005)
