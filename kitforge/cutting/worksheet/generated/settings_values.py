"""Generated from the worksheet by tests/tools/write_worksheet.py; do not edit."""

from __future__ import annotations

from typing import NamedTuple

from kitforge.cutting.worksheet.results import Bound, LimitRule, Told, Words

HELPS: dict[str, tuple[str, ...]] = {'way down': ('use a centre-cutting cutter', 'drill a starting hole'), 'chip too thin': ('fewer flutes',), 'machine feed': ('fewer flutes', 'a class that feeds faster'), 'machine plunge': ('fewer flutes', 'a class that plunges faster'), 'machine force': ('a smaller cutter', 'a stronger class'), 'spindle power': ('a smaller cutter', 'a smaller depth per pass', 'a class with more power'), 'cutter bends': ('a shorter or thicker cutter', 'solid carbide instead of steel'), 'cutter may break': ('a shorter or thicker cutter', 'a smaller depth per pass'), 'piece held': ('more or wider tabs, or a thicker skin', 'tape under the part', 'a smaller cutter'), 'chip too thick': ('a smaller depth per pass', 'a thicker cutter'), 'cutter maximum': ('a cutter marked for a higher speed', 'a class with a lower lowest speed'), 'cutter diameter': ('a smaller cutter', 'a class with a lower lowest speed'), 'machine speed': ('another class',), 'cutting length': ('a cutter with a longer cutting length',), 'ridges on the floor': ('a cutter with sharper corners', 'a ball nose or bowl cutter'), 'wanted cusp': ('a higher cusp', 'a cutter with a larger radius')}

R104 = LimitRule(104, 'lanes must overlap', False, False, 's <= q_most * D', 'common practice')
R105 = LimitRule(105, 'wanted cusp', False, False, 's <= b + 2 * sqrt(hc_top * (2 * R - hc_top))', 'exact cusp formula, shop page (2006)')
R106 = LimitRule(106, 'wanted cusp', False, False, 's <= 2 * sqrt(hc_top * (2 * R - hc_top)) * cos(slope)', 'exact cusp formula, shop page (2006)')
R107 = LimitRule(107, 'ridges on the floor', False, False, 's <= b', 'geometry of the cutter')
R110 = LimitRule(110, 'needless time', False, False, 's >= min(q_least * D, q_narrow * s.high)', 'common practice')
R112 = LimitRule(112, 'narrowest lane', False, False, 's >= s_least', 'common practice')
R277 = LimitRule(277, 'whole depth', False, False, 'ap <= H', 'kit')
R278 = LimitRule(278, 'cutting length', True, False, 'ap <= APMX', 'cutter')
R279 = LimitRule(279, 'chip clearing', False, False, 'ap <= q_peck * D', '@data.plunge.peck_depth')
R280 = LimitRule(280, 'depth rule', False, False, 'ap <= kD * D_ap', 'common practice')
R281 = LimitRule(281, 'machine force', True, True, 'ap <= largest(ap, ap_0, pushed(ap).Fs <= F_max)', 'derived')
R282 = LimitRule(282, 'spindle power', True, True, 'ap <= largest(ap, ap_0, powered(ap).P <= P_max)', 'derived')
R283 = LimitRule(283, 'cutter bends', False, True, 'ap <= largest(ap, ap_0, pushed(ap).Fs <= F_bend)', 'derived')
R284 = LimitRule(284, 'piece held', True, True, 'ap <= largest(ap, ap_0, pushed(ap).Fs <= F_kept)', 'derived')
R285 = LimitRule(285, 'cutter may break', True, True, 'ap <= largest(ap, ap_0, pushed(ap).Fs <= F_break)', 'derived')
R286 = LimitRule(286, 'way down', False, False, 'ap <= way * tan(a_steep)', 'derived')
R287 = LimitRule(287, 'no lower limit', False, False, 'ap >= 0', 'a flat cut makes the same chip at any depth')
R289 = LimitRule(289, 'thinnest pass', False, False, 'ap >= min(ap_least, H)', 'common practice')
R306 = LimitRule(306, 'machine speed', True, False, 'n >= max(n_bottom, n_dial_low)', '@machine.lowest_speed')
R307 = LimitRule(307, 'machine speed', True, False, 'n >= n_bottom', '@machine.lowest_speed')
R308 = LimitRule(308, 'machine speed', True, False, 'n <= min(n_top, n_dial_high)', '@machine.highest_speed')
R309 = LimitRule(309, 'machine speed', True, False, 'n <= n_top', '@machine.highest_speed')
R310 = LimitRule(310, 'cutter maximum', True, False, 'n <= n_mark', 'marked on the cutter')
R311 = LimitRule(311, 'cutter diameter', True, False, 'n <= n_D', '@data.speed_limits')
R312 = LimitRule(312, 'chip too thin', False, False, 'n <= vf_cap / (z * fz_floor)', 'derived')
R313 = LimitRule(313, 'spindle power', True, True, 'n <= P_max * n_trial / thinnest.P', 'power grows with the speed where the chip stays the same')
R358 = LimitRule(358, 'chip too thin', False, False, 'vf >= fz_floor * z * n', 'common practice')
R359 = LimitRule(359, 'machine plunge', True, False, 'vf <= vz_max', '@machine.plunge')
R360 = LimitRule(360, 'axial thrust', False, True, 'vf <= vz_thrust', 'derived')
R361 = LimitRule(361, 'machine feed', True, False, 'vf <= vf_max', '@machine.feed')
R362 = LimitRule(362, 'chip too thick', False, False, 'vf <= fz_top * deep.kd * deep.kt * z * n', 'common practice')
R363 = LimitRule(363, 'machine force', True, True, 'vf <= by_force(deep, ap_deep, F_max, n).vf', 'derived')
R364 = LimitRule(364, 'spindle power', True, True, 'vf <= by_power(deep, n_most).vf', 'derived')
R365 = LimitRule(365, 'cutter bends', False, True, 'vf <= by_force(deep, ap_deep, F_bend, n).vf', 'derived')
R366 = LimitRule(366, 'piece held', True, True, 'vf <= by_force(deep, ap_deep, F_kept, n).vf', 'derived')
R367 = LimitRule(367, 'cutter may break', True, True, 'vf <= by_force(deep, ap_deep, F_break, n).vf', 'derived')
R395 = LimitRule(395, 'chip too thin', False, False, 'vz >= min(q_vz_low * vf, q_vz_low / q_vz * min(vz_max, vz_thrust))', '@data.plunge.feed_ratio')
R396 = LimitRule(396, 'half the feed', False, False, 'vz <= q_vz * vf', '@data.plunge.feed_ratio')
R397 = LimitRule(397, 'machine plunge', True, False, 'vz <= vz_max', '@machine.plunge')
R398 = LimitRule(398, 'axial thrust', False, True, 'vz <= vz_thrust', 'derived')


class Meet(NamedTuple):
    """The engagement of a pass."""

    ap: float
    """depth of the pass [mm]"""
    wall: bool
    """only stock left on a wall is cut"""
    aside: float
    """stepover of the lanes [mm]"""
    low: float
    """depth of the round in the wood [mm]"""
    De: float
    """diameter at the face of the pass [mm]"""
    ae: float
    """width of the cut [mm]"""
    x: float
    """engaged share of the diameter"""
    turn: float
    """cosine of the engaged angle on an inside arc"""
    xw: float
    """largest engaged share met"""
    e: float
    """chip on the slant of the edge over plain chip"""
    S_slot: float
    """section of a slot [mm2]"""
    S: float
    """largest section cut [mm2]"""
    kx: float
    """thickest chip over feed per tooth"""
    km: float
    """mean chip over feed per tooth"""
    teeth: float
    """teeth in the wood on the average of a turn"""
    t: float
    """teeth in the wood at once, each counted whole"""
    kx_x: float
    """thickest chip over feed per tooth in the steady cut"""
    kn: float
    """thickest chip of a skim, which a round cuts with its lowest part, over feed per tooth"""
    kt: float
    """factor for the thin chip of a narrow cut or a skim"""
    kd: float
    """factor for the depth per pass"""
    fz_least: float
    """least feed per tooth [mm]"""
    hm_least: float
    """least mean chip, for smaller cutters in proportion to the least feed per tooth [mm]"""
    fz_min: float
    """rubbing floor of feed per tooth [mm]"""


class Push(NamedTuple):
    """The side force and lift."""

    p: Meet
    """the engagement [meet]"""
    ap: float
    """depth of the pass [mm]"""
    fz: float
    """feed per tooth [mm]"""
    h: float
    """thickest chip met, in corners and first lanes [mm]"""
    h_e: float
    """thickest chip for the specific force [mm]"""
    kc: float
    """specific force, unfavourable end [N/mm2]"""
    edge: float
    """edge in the wood [mm]"""
    Ft: float
    """force of one tooth [N]"""
    Fs: float
    """side force [N]"""
    Fa: float
    """lift of all teeth in the wood [N]"""
    d: float
    """deflection of the tip [mm]"""
    sb: float
    """bending stress [MPa]"""


class Power(NamedTuple):
    """The power at the cutter."""

    p: Meet
    """the engagement [meet]"""
    fz: float
    """feed per tooth [mm]"""
    n: float
    """spindle speed [min-1]"""
    hm_e: float
    """mean chip for the specific force [mm]"""
    kcm: float
    """specific force for the mean chip, unfavourable end [N/mm2]"""
    Q: float
    """removal rate [mm3/min]"""
    P: float
    """power at the cutter [W]"""


class ByForce(NamedTuple):
    """The feed at which the side force is reached."""

    p: Meet
    """the engagement [meet]"""
    ap: float
    """depth of the pass [mm]"""
    F: float
    """side force that is allowed [N]"""
    n: float
    """spindle speed [min-1]"""
    v: float
    """force on a mm of edge over the force constant [mm^(1-m)]"""
    h_0: float
    """chip where the model holds [mm]"""
    h: float
    """chip [mm]"""
    vf: float
    """feed [mm/min]"""


class ByPower(NamedTuple):
    """The feed at which the power is reached."""

    p: Meet
    """the engagement [meet]"""
    n: float
    """spindle speed [min-1]"""
    v: float
    """power on a mm of edge over the force constant [mm^(1-m)]"""
    h_0: float
    """chip where the model holds [mm]"""
    h: float
    """mean chip [mm]"""
    vf: float
    """feed [mm/min]"""


class Pushed(NamedTuple):
    """The side force at the chip that depths are set by."""

    ap: float
    """depth tried [mm]"""
    p: Meet
    """at the depth tried [meet]"""
    fz_ref: float
    """thin chip of routing at that depth [mm]"""
    fz: float
    """feed per tooth that depths are set by [mm]"""
    f: Push
    """at the depth tried [push]"""
    Fs: float
    """side force [N]"""


class Powered(NamedTuple):
    """The power at the chip and the speed that depths are set by."""

    ap: float
    """depth tried [mm]"""
    p: Meet
    """at the depth tried [meet]"""
    fz_ref: float
    """thin chip of routing at that depth [mm]"""
    fz: float
    """feed per tooth, or that at the class's full feed [mm]"""
    o: Power
    """at the depth tried [power]"""
    P: float
    """power at the cutter [W]"""


class Values(NamedTuple):
    """Every value of the sheet, in its order."""

    shape: Words
    """kind of cutter"""
    D: float
    """diameter [mm]"""
    APMX: float
    """cutting length [mm]"""
    DMM: float
    """shank [mm]"""
    OAL: float
    """overall length [mm]"""
    z: float
    """flutes"""
    w: float
    """flat at the tip [mm]"""
    RE: float
    """corner radius [mm]"""
    centre: bool
    """the cutter has an edge at its centre"""
    n_mark: float | None
    """highest speed marked on the cutter [min-1]"""
    L_own: float | None
    """stick-out as it is given [mm]"""
    helix: float
    """helix, below 0 where it presses down [deg]"""
    A: float
    """included angle [deg]"""
    body: Words
    """what the body of the cutter is made of, as the tables name it"""
    E: float
    """modulus of elasticity [MPa]"""
    s_max: float | None
    """stress allowed [MPa]"""
    work: Words
    """what the cut does"""
    finishing: bool
    """the pass makes the final surface"""
    H: float
    """height of wood to take away [mm]"""
    reach: float
    """depth below the face [mm]"""
    a: float
    """stock left on the wall [mm]"""
    W: float | None
    """narrowest width [mm]"""
    way: float | None
    """travel of one layer [mm]"""
    slope: float
    """steepest slope [deg]"""
    hc_max: float | None
    """cusp wanted [mm]"""
    corners: bool
    """the walls may have inside corners"""
    open_entry: bool
    """the cutter can come in from outside the wood"""
    keeper: Words | None
    """what keeps the piece"""
    F_hold: float | None
    """what is borne by {keeper} [N]"""
    U_hold: float | None
    """lift that is borne by {keeper} [N]"""
    s_own: float | None
    """stepover, the author's own [mm]"""
    ap_own: float | None
    """depth per pass, the author's own [mm]"""
    n_own: float | None
    """speed, the author's own [min-1]"""
    vz_own: float | None
    """plunge, the author's own [mm/min]"""
    vf_own: float | None
    """feed, the author's own [mm/min]"""
    kind: Words
    """kind of wood or panel"""
    panel: bool
    """sheet goods, not solid wood"""
    rho: float
    """density of the wood [kg/m3]"""
    k_mat: float
    """chip over that in hardwood"""
    machine_name: Words
    """machine class"""
    collets: Words
    """its collets"""
    F_max: float
    """force the class bears [N]"""
    P_max: float
    """power at the cutter, weak end of the class [W]"""
    vf_max: float
    """feed limit of the class [mm/min]"""
    vz_max: float
    """plunge limit of the class [mm/min]"""
    n_bottom: float
    """lowest speed of the class [min-1]"""
    n_top: float
    """highest speed of the class [min-1]"""
    dialled: bool
    """the speed is set by a dial"""
    light: bool
    """a light class, below 200 N"""
    rigid: bool
    """a rigid class, from 600 N on"""
    hair: float
    """what counts as nothing [mm]"""
    drilling: bool
    """the cutter only goes down"""
    along_wall: bool
    """only the stock that a roughing pass left on a wall is cut"""
    lanes: bool
    """an area is cut in lanes beside each other"""
    end_mill: bool
    """a cutter that the charts for end mills are for"""
    headed: bool
    """a cutter whose head is another shape than its shank"""
    ball_like: bool
    """a cutter with a round that leaves cusps"""
    R: float
    """radius of the round [mm]"""
    b: float
    """flat under the cutter [mm]"""
    vee: bool
    """a V that cuts sideways"""
    rounded: bool
    """a round that cuts sideways"""
    open_area: bool
    """lanes that never become a slot: not those of a V or a round, which are as wide as the pass is deep"""
    shank_play: float
    """how far a shank may be off the size of a plain collet [mm]"""
    q_grip: float
    """least grip over the shank's diameter"""
    grip_least: float
    """least length of shank in the collet [mm]"""
    run_out: float
    """run-out of the flutes, which no collet grips [mm]"""
    clearance: float
    """between the collet and the face of the stock at the deepest point [mm]"""
    q_part: float
    """part of the shank that the collet holds"""
    L_shank: float
    """plain shank [mm]"""
    grip: float
    """shank in the collet [mm]"""
    L_need: float
    """what has to show: the flutes with their run-out, or the depth of the cut and a clearance [mm]"""
    L_least: float
    """least stick-out for the cut [mm]"""
    L: float
    """stick-out [mm]"""
    q_core: float
    """equivalent diameter of the fluted part over its diameter"""
    d1: float
    """equivalent diameter of the front [mm]"""
    l1: float
    """fluted part that shows [mm]"""
    c: float
    """bending per N [mm/N]"""
    cs: float
    """bending stress per N [MPa/N]"""
    d_max: float
    """deflection allowed [mm]"""
    finish_round: bool
    """the finishing of a dish, or with a round cutter"""
    q_least: float
    """least stepover over diameter"""
    q: float
    """usual share of the diameter"""
    q_most: float
    """widest stepover over diameter"""
    hc_top: float | None
    """cusp wanted, at most the radius [mm]"""
    q_narrow: float
    """of a range that something else makes narrow, the low end is this much of the high one"""
    s_least: float
    """lanes narrower than this are finer than routers repeat [mm]"""
    s_lower: Bound | None
    """tightest lower limit of the stepover [mm]"""
    s_lowers: list[Bound]
    """all lower limits [mm]"""
    s_upper: Bound | None
    """tightest upper limit of the stepover [mm]"""
    s_uppers: list[Bound]
    """all upper limits [mm]"""
    s: float | None
    """stepover [mm]"""
    s_why: Words | None
    """why"""
    s_wide: float
    """widest stepover that may be set [mm]"""
    s_thin: float
    """narrowest stepover that may be set [mm]"""
    s_now: float
    """stepover of the start values [mm]"""
    kc_ref: float
    """specific force at the reference chip [N/mm2]"""
    h_ref: float
    """reference chip [mm]"""
    m: float
    """exponent of the chip"""
    rho_ref: float
    """reference density [kg/m3]"""
    nd: float
    """exponent of the density"""
    h_low: float
    """thinnest chip of the model [mm]"""
    h_high: float
    """thickest chip of the model [mm]"""
    B: float
    """upper end of the band"""
    u: float
    """used edge"""
    g_mean: float
    """direction to the grain, on the average round the arc of the cut"""
    g_worst: float
    """direction to the grain, the worst"""
    Af: float
    """force constant for the peak force [N/mm2*mm^m]"""
    Ap: float
    """force constant for the power [N/mm2*mm^m]"""
    ks: float
    """side force over tooth force"""
    F_kept: float | None
    """side force at which what keeps the piece gives way: sideways, or by the lift that comes with it [N]"""
    k60: float
    """N mm/min in a W [N*mm/min/W]"""
    r_in: float
    """path radius over cutter radius in corners"""
    thin_most: float
    """however narrow the cut, the feed is raised no more than this"""
    D_split: float
    """diameter from which the floor of larger cutters holds [mm]"""
    fz_large: float
    """least feed per tooth of larger cutters [mm]"""
    hm_large: float
    """least mean chip of larger cutters [mm]"""
    hair_t: float
    """a tooth that is this much in the wood is out of it"""
    D_vee: float
    """a V-bit is as weak as the point it works with, so it counts as a cutter of this diameter [mm]"""
    D_chip: float
    """diameter that the thickness of a chip goes by [mm]"""
    D_small: float
    """smallest diameter with a chip of its own [mm]"""
    k_small_D: float
    """below it the chip shrinks with the diameter"""
    fz_low_hard: float
    """thin chip of routing in hardwood [mm]"""
    fz_top_hard: float
    """thickest chip that leaves a clean wall in hardwood [mm]"""
    fz_low: float
    """thin chip of routing, by diameter and material [mm]"""
    fz_top: float
    """thickest chip that leaves a clean wall, by diameter and material [mm]"""
    vf_cap: float
    """what the class can feed in the direction of the cut [mm/min]"""
    n_common: float
    """usual speed of routers and spindles [min-1]"""
    v_rim: float
    """rim speed that wide cutters are kept to [m/s]"""
    k_rim: float
    """mm/min in m/s [mm/m*s/min]"""
    n_rim: float
    """speed at which the rim runs as fast as that [min-1]"""
    n_ref: float
    """speed that depths are set by [min-1]"""
    a_usual: float
    """usual angle of a ramp [deg]"""
    a_steep: float
    """steepest angle of a ramp [deg]"""
    a_helix: float
    """steepest angle of a helix [deg]"""
    q_helix_low: float
    """narrowest helix path over diameter"""
    q_helix: float
    """widest helix path over diameter"""
    D_helix: float | None
    """diameter of the helix that the centre runs on [mm]"""
    outside: bool
    """the cutter comes in from outside"""
    helix_fits: bool
    """there is room for a helix"""
    must_ramp: bool
    """only a ramp leads down"""
    q_peck: float
    """depth of one peck over diameter"""
    q_ap_strong: float
    """depth over diameter of a class that bears more than 200 N"""
    q_ap: float
    """depth over diameter by the force that a class bears"""
    q_wall: float
    """depth over diameter of a finishing pass along a wall"""
    q_skim: float
    """depth of a surfacing cutter over that of others"""
    kD: float
    """share for this class"""
    D_wide: float
    """wide cutters are shallow ones: the diameter counts up to this [mm]"""
    D_ap: float
    """diameter that counts; of a bowl cutter the corner radius, its working depth [mm]"""
    ap_0: float
    """depth tried first [mm]"""
    F_bend: float
    """side force that bends the cutter as far as is allowed [N]"""
    F_break: float | None
    """side force that stresses the cutter as hard as is allowed [N]"""
    first: Pushed | None
    """at the depth tried first [pushed]"""
    first_P: Powered | None
    """at the depth tried first [powered]"""
    ap_least: float
    """thinner passes are decided by the flatness of the board [mm]"""
    ap_lower: Bound
    """tightest lower limit of the depth per pass [mm]"""
    ap_lowers: list[Bound]
    """all lower limits [mm]"""
    ap_upper: Bound
    """tightest upper limit of the depth per pass [mm]"""
    ap_uppers: list[Bound]
    """all upper limits [mm]"""
    hair_N: float
    """a pass that is this much of one is none"""
    ap_m: float
    """depth per pass at most [mm]"""
    N: float
    """number of passes, rounded up"""
    ap: float
    """depth per pass, equal passes [mm]"""
    ap_why: Words
    """why"""
    ap_deep: float
    """deepest pass that may be set [mm]"""
    deep: Meet
    """at the deepest pass and the widest stepover [meet]"""
    thin: Meet
    """at the deepest pass and the narrowest stepover [meet]"""
    fz_floor: float
    """rubbing floor of feed per tooth, at whichever end of the stepover it is higher [mm]"""
    n_dial_low: float | None
    """lowest speed of the dial [min-1]"""
    n_dial_high: float | None
    """highest speed of the dial [min-1]"""
    D_charts: float
    """largest diameter of the chart [mm]"""
    n_D: float | None
    """highest speed of the chart by diameter [min-1]"""
    n_trial: float
    """speed of a trial [min-1]"""
    thinnest: Power
    """of the thinnest chip at the speed of a trial [power]"""
    n_lower: Bound
    """tightest lower limit of the speed [min-1]"""
    n_lowers: list[Bound]
    """all lower limits [min-1]"""
    n_upper: Bound
    """tightest upper limit of the speed [min-1]"""
    n_uppers: list[Bound]
    """all upper limits [min-1]"""
    n_drill: float
    """speed of boring heads [min-1]"""
    n_usual: float
    """usual speed [min-1]"""
    usual_why: Words
    """why"""
    q_floor: float
    """a start value keeps the chip this much above the rubbing floor"""
    fz_safe: float
    """feed per tooth that is safe from rubbing [mm]"""
    q_half: float
    """part of the class's feed that a start value uses: short moves never get there"""
    q_more: float
    """part that it uses where that would leave chips near the rubbing floor; then the speed drops"""
    vf_use: float
    """share of the class's feed for a start value [mm/min]"""
    n_fast: float
    """speed at which that feed is safe from rubbing [min-1]"""
    n_pick: float
    """speed that is wanted [min-1]"""
    n_in: float
    """wanted speed within the window [min-1]"""
    n_step: float
    """speeds are set in steps of this [min-1]"""
    hair_step: float
    """a step that is short of this much of one is whole"""
    n_even: float
    """speed in whole steps [min-1]"""
    n_dial: float | None
    """nearest speed of the dial [min-1]"""
    n_0: float
    """computed speed to start with [min-1]"""
    n: float
    """spindle speed to start with [min-1]"""
    dial: Words | None
    """dial position"""
    pick_why: Words
    """why"""
    n_why: Words
    """why"""
    n_most: float
    """highest speed that may be set [min-1]"""
    q_thrust: float
    """part of the force a class bears that a plunge may push back with"""
    k_thrust: float
    """thrust over that of a spiral end mill: edges that do not lift the chips press on them, a drill is made for it"""
    A_thrust: float
    """force constant of the thrust, at the middle of the band [N/mm2*mm^m]"""
    D_thrust: float
    """diameter that pushes downwards: a slanting or round edge pushes half of its width sideways [mm]"""
    v_thrust: float
    """thrust on a mm of edge over the force constant [mm^(1-m)]"""
    h_thrust_0: float
    """chip where the model holds [mm]"""
    h_thrust: float
    """chip at which the thrust is reached [mm]"""
    vz_thrust: float
    """plunge at which the thrust is reached [mm/min]"""
    vf_lower: Bound
    """tightest lower limit of the feed [mm/min]"""
    vf_lowers: list[Bound]
    """all lower limits [mm/min]"""
    vf_upper: Bound
    """tightest upper limit of the feed [mm/min]"""
    vf_uppers: list[Bound]
    """all upper limits [mm/min]"""
    q_class: float
    """share of the thickest chip that a class starts at: the stiffer, the more"""
    q_kind: float
    """part of it for round cutters, which scrape with their lowest point"""
    fz_range: float
    """feed per tooth that a class starts at [mm]"""
    fz_0: float
    """feed per tooth to start with [mm]"""
    range_why: Words
    """why"""
    q_load: float
    """a start value keeps this share of a feed at which a load reaches its limit"""
    vf_chip: float
    """feed of the chip to start with [mm/min]"""
    vf_top: float
    """feed that the tightest limit leaves to a start value [mm/min]"""
    vf_pick: float
    """feed that is wanted [mm/min]"""
    vf_step: float
    """feeds are set in steps of this [mm/min]"""
    vf_0: float
    """computed feed to start with [mm/min]"""
    vf: float
    """feed to start with [mm/min]"""
    vf_why: Words
    """why"""
    n_follow: float
    """speed up to which the feed to start with may follow [min-1]"""
    q_vz_low: float
    """least plunge over the feed in use"""
    q_vz: float
    """highest plunge over the feed in use"""
    q_vz_0: float
    """plunge to start with over the feed in use"""
    vz_lower: Bound | None
    """tightest lower limit of the plunge [mm/min]"""
    vz_lowers: list[Bound]
    """all lower limits [mm/min]"""
    vz_upper: Bound | None
    """tightest upper limit of the plunge [mm/min]"""
    vz_uppers: list[Bound]
    """all upper limits [mm/min]"""
    vz_step: float
    """plunges are set in steps of this [mm/min]"""
    vz_pick: float | None
    """plunge that is wanted [mm/min]"""
    vz_0: float
    """computed plunge to start with [mm/min]"""
    vz: float
    """plunge to start with [mm/min]"""
    vz_why: Words | None
    """why"""
    q_whole: float
    """depth over diameter up to which a hole is drilled in one go"""
    q_ramp: float
    """ramp feed over feed, times flutes"""
    Lr_usual: float
    """travel of a ramp at the usual angle [mm]"""
    Lr_steep: float
    """travel of a ramp at the steepest angle [mm]"""
    pecks: bool
    """a hole in pecks"""
    q_straight: float
    """depth over diameter that is plunged straight, by the force that a class bears"""
    thrust_bears: bool
    """the class bears the thrust of a plunge at a quarter of the feed"""
    straight: bool
    """the cutter goes straight down"""
    ramps: bool
    """there is room for a ramp"""
    sloping: Words | None
    """how a cutter goes down that does not go straight"""
    manner: Words | None
    """how the cutter goes down"""
    way_has: float
    """travel of the cut [mm]"""
    W_helix: float
    """width that a helix needs [mm]"""
    a_in: float | None
    """slope of the entry [deg]"""
    Lr: float | None
    """travel of the way down [mm]"""
    vr: float
    """feed along the way down [mm/min]"""
    D_path: float | None
    """diameter of the helix [mm]"""
    peck: float | None
    """depth of a peck [mm]"""
    at: Meet
    """at the start values [meet]"""
    fz: float
    """feed per tooth [mm]"""
    hm: float
    """mean chip [mm]"""
    h_top: float
    """thickest chip in the steady cut [mm]"""
    thinning: float
    """what the feed per tooth is multiplied by to keep the thickest chip"""
    v_tip: float
    """rim speed [m/s]"""
    own: Push
    """at the start values [push]"""
    own_P: Power
    """at the start values [power]"""
    fz_most: float
    """feed per tooth at the high end of the feed [mm]"""
    worst: Push
    """at the high ends of depth, stepover and feed [push]"""
    F_most: float
    """side force at the worst corner of the ranges, which what holds the work must bear [N]"""
    U_most: float
    """lift there [N]"""
    half_s: float | None
    """half the width of a ridge between lanes [mm]"""
    hc: float | None
    """cusp left on the floor [mm]"""
    F_belt: float
    """force up to which a frame may run on belts or slim screws [N]"""
    gives: bool
    """a climb cut would pull the frame along"""
    D_climb: float
    """largest diameter that climbs [mm]"""
    a_climb: float
    """most stock on a wall that is climbed [mm]"""
    light_pass: bool
    """a finishing pass in solid wood that may climb"""
    has_way: bool
    """a cut whose two directions differ"""
    direction: Words | None
    """direction of cut"""
    direction_why: Words | None
    """why"""
    hm_new: float
    """radius of a new edge [mm]"""
    fz_small: float
    """least feed per tooth of smaller cutters [mm]"""
    k_small: float
    """the mean chip that burns, for smaller cutters in proportion to the least feed per tooth"""
    h_seen: float
    """thickest chip, of a skim on the lowest part of its round [mm]"""
    h_new: float
    """thickest chip of a finishing pass under which the edge rubs all along; its mean chip is thin by nature [mm]"""
    hm_burn: float
    """mean chip under which the edge rubs more than it cuts [mm]"""
    slack: float
    """what counts as nothing beside one"""
    L_over: float
    """length over thickness of the cutter"""
    L_sings: float
    """from which it tends to sing"""
    grip_left: float
    """shank that the collet holds [mm]"""
    D_range_high: float
    """largest diameter with a starting chip of its own [mm]"""
    notes: list[Told]
    """what is risky"""
