"""Generated from the worksheet by tests/tools/write_worksheet.py; do not edit."""

from __future__ import annotations

from math import acos, cos, floor, pi, radians, sin, sqrt, tan

from kitforge.cutting.worksheet.functions import chart, fits, largest, least, most, named, nearest, step
from kitforge.cutting.worksheet.results import Bound, Refusal, Told, Words, crossing, entry, figures, value_of, worded, worth
from kitforge.cutting.worksheet.trace import Trace
from kitforge.model.messages import Quantity, msg, term
from kitforge.cutting.worksheet.tables import Tables
from kitforge.model.settings import Cut
from kitforge.model.settings import CutterGeometry
from kitforge.model.settings import RequestedSettings
from kitforge.model.workshop import MachineClass
from kitforge.model.workshop import Material
from kitforge.workshop.cutting_data import CuttingData
from kitforge.cutting.worksheet.generated.settings_values import HELPS, R104, R105, R106, R107, R110, R112, R277, R278, R279, R280, R281, R282, R283, R284, R285, R286, R287, R289, R306, R307, R308, R309, R310, R311, R312, R313, R358, R359, R360, R361, R362, R363, R364, R365, R366, R367, R395, R396, R397, R398, Meet, Push, Power, ByForce, ByPower, Pushed, Powered, Values


def computed(cut: Cut, cutter: CutterGeometry, material: Material, machine: MachineClass, data: CuttingData, tables: Tables, wish: RequestedSettings) -> Values | Refusal:
    """Evaluate the sheet."""

    # The cutter (ISO 13399)
    v_shape = cutter.shape
    v_D: float = cutter.diameter
    v_APMX: float = cutter.cutting_length
    v_DMM: float = cutter.shank
    v_OAL: float = cutter.overall_length
    v_z: float = cutter.flutes
    v_w: float = cutter.tip
    v_RE: float = cutter.corner_radius
    v_centre = cutter.centre_cutting
    v_n_mark: float | None = cutter.max_speed
    v_L_own: float | None = cutter.stick_out
    v_helix: float
    if cutter.helix is not None:
        v_helix = cutter.helix
    elif v_shape in ('up-cut', 'compression', 'ball nose',):
        v_helix = 30.0
    elif v_shape == 'down-cut':
        v_helix = -30.0
    else:
        v_helix = 0.0
    v_A: float
    if v_shape == 'v-bit' and cutter.angle is not None:
        v_A = cutter.angle
    else:
        v_A = 0.0
    v_body: Words
    if cutter.substrate == 'carbide tipped':
        v_body = 'tipped'
    elif cutter.substrate == 'hss':
        v_body = 'hss'
    else:
        v_body = 'carbide'
    v_E: float = entry(data.tool_materials, v_body).modulus.value
    v_s_max: float | None = worth(entry(data.tool_materials, v_body).allowable_stress)

    # The cut
    v_work = cut.work
    v_finishing = cut.finishing
    v_H: float = cut.depth
    v_reach: float
    if cut.reach is not None:
        v_reach = cut.reach
    else:
        v_reach = v_H
    v_a: float = cut.side_stock
    v_W: float | None = cut.width
    v_way: float | None = cut.length
    v_slope: float = cut.slope
    v_hc_max: float | None = cut.cusp
    v_corners = cut.inside_corners
    v_open_entry = cut.open_entry
    v_keeper = (cut.keeping.name if cut.keeping is not None else None)
    v_F_hold: float | None = (cut.keeping.bears if cut.keeping is not None else None)
    v_U_hold: float | None = (cut.keeping.lifts if cut.keeping is not None else None)

    # What the author insists on
    v_s_own: float | None
    if wish.stepover is not None:
        v_s_own = wish.stepover
    else:
        v_s_own = cut.stepover
    v_ap_own: float | None = wish.depth_per_pass
    v_n_own: float | None = wish.speed
    v_vz_own: float | None = wish.plunge
    v_vf_own: float | None
    if wish.feed is not None:
        v_vf_own = wish.feed
    elif v_work == 'drill':
        v_vf_own = v_vz_own
    else:
        v_vf_own = None

    # The wood
    v_kind = material.kind
    v_panel = not v_kind in ('hardwood', 'softwood',)
    v_rho: float = material.density.value
    v_k_mat: float = entry(data.material_factors, v_kind).value

    # The machine class, its weak end
    v_machine_name = machine.name
    v_collets = machine.collet_text
    v_F_max: float = machine.side_force.low
    v_P_max: float = machine.cutter_power.low
    v_vf_max: float = machine.feed.low
    v_vz_max: float = machine.plunge.low
    v_n_bottom: float = machine.lowest_speed.high
    v_n_top: float = machine.highest_speed.low
    v_dialled = len(machine.dial) > 0.0
    v_light = v_F_max < 200.0
    v_rigid = v_F_max >= 600.0

    # Conditions that many rows share
    v_hair: float = 0.000001
    v_drilling = v_work == 'drill'
    v_along_wall = v_finishing and v_a > 0.0 and v_work in ('profile', 'pocket', 'dish',)
    v_lanes = v_work in ('face', 'surfacing', 'pocket', 'dish',) and not v_along_wall
    v_end_mill = v_shape in ('straight', 'up-cut', 'down-cut', 'compression',)
    v_headed = v_shape in ('v-bit', 'bowl', 'surfacing',)
    v_ball_like = v_shape in ('ball nose', 'bowl',)
    v_R: float
    if v_shape == 'ball nose':
        v_R = v_D / 2.0
    else:
        v_R = v_RE
    v_b: float = v_D - 2.0 * v_R
    v_vee = v_A > 0.0 and not v_drilling
    v_rounded = v_ball_like and v_R > 0.0 and not v_drilling
    v_open_area = v_work in ('face', 'surfacing',) and not (v_vee or v_rounded)

    # What makes the cut impossible
    v_shank_play: float = 0.05
    v_q_grip: float = data.plunge.shank_grip.low
    v_grip_least: float = v_q_grip * v_DMM
    stops: list[Told] = []
    if not fits(machine.shanks, v_DMM, v_shank_play):
        stops.append(Told('SHANK', msg('A shank of {DMM} does not fit the collets of {machine_name}: {collets}.', DMM=figures(v_DMM, 'mm'), machine_name=worded(v_machine_name), collets=worded(v_collets)), ('a cutter with another shank', 'a collet or reducer')))
    if v_W is not None and v_W < v_D - v_hair and v_shape != 'v-bit' and not (v_drilling or v_open_area):
        stops.append(Told('TOO_WIDE', msg('The place is {W} wide at its narrowest, the cutter {D}.', W=figures(v_W, 'mm'), D=figures(v_D, 'mm')), ('a smaller cutter',)))
    if v_drilling and not v_centre:
        stops.append(Told('ENTRY', msg('The {shape} of {D} cannot go down here: a hole is drilled straight down, and this cutter has no edge at its centre.', shape=worded(v_shape), D=Quantity(v_D, 'mm', 4)), ('use a centre-cutting cutter', 'drill a starting hole')))
    if v_L_own is not None and v_reach > v_L_own:
        stops.append(Told('REACH', msg('The cutter sticks out {L_own}, the cut goes {reach} down.', L_own=figures(v_L_own, 'mm'), reach=figures(v_reach, 'mm')), ('let it stick out further', 'a longer cutter')))
    if not (v_L_own is not None and v_reach > v_L_own) and v_reach + v_grip_least > v_OAL:
        stops.append(Told('REACH', msg('The cut goes {reach} down and the collet needs {grip_least} of shank, but the cutter is {OAL} long.', reach=figures(v_reach, 'mm'), grip_least=figures(v_grip_least, 'mm'), OAL=figures(v_OAL, 'mm')), ('a longer cutter', 'a shallower cut')))

    # Stick-out and stiffness
    if stops:
        return Refusal(tuple(stops))
    v_run_out: float = 2.0
    v_clearance: float = 5.0
    v_q_part: float = data.plunge.shank_grip_part.value
    v_L_shank: float = max(0.0, v_OAL - v_APMX)
    v_grip: float = min(v_L_shank, max(v_grip_least, v_q_part * v_L_shank))
    v_L_need: float = max(v_APMX + v_run_out, v_reach + v_clearance)
    v_L_least: float = max(min(v_L_need, v_OAL - v_grip), min(v_reach, v_OAL))
    v_L: float
    if v_L_own is not None:
        v_L = v_L_own
    else:
        v_L = v_L_least
    v_q_core: float = data.equivalent_diameter.value
    v_d1: float
    if v_headed:
        v_d1 = v_DMM
    else:
        v_d1 = v_q_core * v_D
    v_l1: float = min(v_APMX, v_L)
    v_c: float = 64.0 / (3.0 * pi * v_E) * (v_l1 ** 3.0 / v_d1 ** 4.0 + (v_L ** 3.0 - v_l1 ** 3.0) / v_DMM ** 4.0)
    v_cs: float = 32.0 / pi * max(v_l1 / v_d1 ** 3.0, v_L / v_DMM ** 3.0)
    v_d_max: float
    if v_finishing:
        v_d_max = data.deflection_limits.finish.value
    else:
        v_d_max = data.deflection_limits.rough.value
    v_finish_round = v_finishing and (v_work == 'dish' or v_ball_like)
    v_q_least: float
    if v_finish_round:
        v_q_least = 0.02
    elif v_finishing:
        v_q_least = 0.1
    elif v_ball_like:
        v_q_least = 0.4
    else:
        v_q_least = 0.3
    v_q: float
    if v_finish_round:
        v_q = 0.1
    else:
        v_q = 0.4
    v_q_most: float
    if v_finish_round:
        v_q_most = 0.25
    elif v_open_area:
        v_q_most = 0.75
    else:
        v_q_most = 0.5
    v_hc_top: float | None
    if v_hc_max is not None and v_ball_like:
        v_hc_top = min(v_hc_max, v_R)
    else:
        v_hc_top = None
    h_s: list[Bound] = []
    if v_lanes:
        h_s.append((v_q_most * v_D, R104))
    if v_lanes and v_hc_top is not None and v_shape == 'bowl' and v_slope == 0.0:
        h_s.append((v_b + 2.0 * sqrt(v_hc_top * (2.0 * v_R - v_hc_top)), R105))
    elif v_lanes and v_hc_top is not None:
        h_s.append((2.0 * sqrt(v_hc_top * (2.0 * v_R - v_hc_top)) * cos(radians(v_slope)), R106))
    if v_lanes and v_RE > 0.0 and not v_ball_like:
        h_s.append((v_b, R107))
    u_s_high = min(h_s, key=value_of, default=None)
    v_s_high = None if u_s_high is None else u_s_high[0]
    v_s_reason = None if u_s_high is None else u_s_high[1].words
    v_s_load = None if u_s_high is None else u_s_high[1].load
    v_q_narrow: float
    if v_ball_like and not v_finishing:
        v_q_narrow = 0.8
    else:
        v_q_narrow = 0.6
    l_s: list[Bound] = []
    if v_s_high is not None:
        l_s.append((min(v_q_least * v_D, v_q_narrow * v_s_high), R110))
    u_s_low = max(l_s, key=value_of, default=None)
    v_s_low = None if u_s_low is None else u_s_low[0]
    v_s_low_reason = None if u_s_low is None else u_s_low[1].words
    v_s_least: float = 0.01
    c_s: list[Bound] = []
    if v_lanes:
        c_s.append((v_s_least, R112))
    k_s = max([*l_s, *c_s], key=value_of, default=None)
    if k_s is not None and u_s_high is not None and k_s[0] > u_s_high[0]:
        return crossing(msg('No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.', quantity=term('stepover'), shape=worded(v_shape), D=figures(v_D, 'mm'), machine_name=worded(v_machine_name), low=figures(k_s[0], 'mm'), low_reason=term(k_s[1].words), high=figures(u_s_high[0], 'mm'), high_reason=term(u_s_high[1].words), gap=term('no value satisfies both')), k_s, u_s_high, HELPS)
    v_s: float | None
    if v_lanes and v_s_own is not None:
        v_s = v_s_own
    elif v_s_high is not None:
        v_s = min(v_q * v_D, v_s_high)
    else:
        v_s = None
    v_s_why: Words | None
    if v_s_high is not None and v_q * v_D >= v_s_high:
        v_s_why = v_s_reason
    else:
        v_s_why = 'share of the diameter'
    v_s_wide: float
    if v_s is not None and v_s_high is not None:
        v_s_wide = max(v_s_high, v_s)
    else:
        v_s_wide = v_D
    v_s_thin: float
    if v_s is not None and v_s_low is not None:
        v_s_thin = min(v_s_low, v_s)
    else:
        v_s_thin = v_D
    v_s_now: float
    if v_s is not None:
        v_s_now = v_s
    else:
        v_s_now = v_D

    # Force constants: kc = A h^-m
    v_kc_ref: float = data.cutting_force.kc_ref.value
    v_h_ref: float = data.cutting_force.h_ref.value
    v_m: float = data.cutting_force.m.value
    v_rho_ref: float = data.cutting_force.density_ref.value
    v_nd: float = data.cutting_force.n.value
    v_h_low: float = data.cutting_force.h_clamp.low
    v_h_high: float = data.cutting_force.h_clamp.high
    v_B: float = data.cutting_force.band.high
    v_u: float = data.wear_factors.used.value
    v_g_mean: float
    if v_kind == 'plywood':
        v_g_mean = data.grain_factors.plywood.value
    elif v_panel:
        v_g_mean = data.grain_factors.isotropic.value
    else:
        v_g_mean = data.grain_factors.any_direction.value
    v_g_worst: float
    if v_panel:
        v_g_worst = v_g_mean
    else:
        v_g_worst = data.grain_factors.across.value
    v_Af: float = v_kc_ref * v_h_ref ** v_m * (v_rho / v_rho_ref) ** v_nd * v_g_worst * v_u * v_B
    v_Ap: float = v_kc_ref * v_h_ref ** v_m * (v_rho / v_rho_ref) ** v_nd * v_g_mean * v_u * v_B
    v_ks: float = data.force_ratios.side_resultant.value
    v_F_kept: float | None
    if v_F_hold is not None and v_U_hold is not None and v_helix > 0.0:
        v_F_kept = min(v_F_hold, v_U_hold * v_ks / tan(radians(v_helix)))
    else:
        v_F_kept = v_F_hold
    v_k60: float = 60000.0

    # Engagement
    v_r_in: float = 0.5
    v_thin_most: float = 2.0
    v_D_split: float = data.rubbing.split_diameter.value
    v_fz_large: float = data.rubbing.feed_per_tooth.value
    v_hm_large: float = data.rubbing.mean_chip.value
    v_hair_t: float = 0.000001

    def b_meet(v_ap: float, v_wall: bool, v_aside: float) -> Meet:
        v_low: float = min(v_ap, v_R)
        v_De: float
        if v_vee:
            v_De = min(v_D, max(v_w + 2.0 * v_ap * tan(radians(v_A / 2.0)), v_hair))
        elif v_rounded:
            v_De = v_b + 2.0 * sqrt(v_low * (2.0 * v_R - v_low))
        else:
            v_De = v_D
        v_ae: float
        if v_wall:
            v_ae = v_a
        elif v_work == 'chamfer':
            v_ae = v_De / 2.0
        elif v_lanes:
            v_ae = v_aside
        else:
            v_ae = v_De
        v_x: float = min(1.0, v_ae / v_De)
        v_turn: float = (max(0.0, 1.0 + v_r_in - 2.0 * v_a / v_De) ** 2.0 - v_r_in ** 2.0 - 1.0) / (2.0 * v_r_in)
        v_xw: float
        if v_wall and v_corners:
            v_xw = max(v_x, (1.0 - min(max(v_turn, -1.0), 1.0)) / 2.0)
        elif v_wall or not v_lanes or v_open_area:
            v_xw = v_x
        else:
            v_xw = 1.0
        v_e: float
        if v_vee:
            v_e = cos(radians(v_A / 2.0))
        elif v_rounded:
            v_e = v_ap / (v_R * acos((v_R - v_low) / v_R) + v_ap - v_low)
        else:
            v_e = 1.0
        v_S_slot: float
        if v_drilling:
            v_S_slot = pi / 4.0 * v_D ** 2.0
        elif v_vee:
            v_S_slot = v_w * v_ap + v_ap ** 2.0 * tan(radians(v_A / 2.0))
        elif v_rounded:
            v_S_slot = v_R ** 2.0 * acos((v_R - v_low) / v_R) - (v_R - v_low) * sqrt(2.0 * v_R * v_low - v_low ** 2.0) + v_b * v_low + v_D * (v_ap - v_low)
        else:
            v_S_slot = v_D * v_ap
        v_S: float
        if v_wall:
            v_S = v_ap * v_De * v_xw
        elif v_work == 'chamfer':
            v_S = v_S_slot / 2.0
        elif v_lanes and v_open_area:
            v_S = min(v_S_slot, v_aside * v_ap)
        else:
            v_S = v_S_slot
        v_kx: float
        if v_xw < 0.5:
            v_kx = 2.0 * sqrt(v_xw - v_xw ** 2.0)
        else:
            v_kx = 1.0
        v_km: float = 2.0 * v_xw / acos(1.0 - 2.0 * v_xw)
        v_teeth: float = v_z * acos(1.0 - 2.0 * v_xw) / (2.0 * pi)
        v_t: float = max(1.0, -float(floor(v_hair_t - v_teeth)))
        v_kx_x: float
        if v_x < 0.5:
            v_kx_x = 2.0 * sqrt(v_x - v_x ** 2.0)
        else:
            v_kx_x = 1.0
        v_kn: float
        if v_rounded and v_finishing and not v_wall:
            v_kn = max(v_hair_t, sqrt(2.0 * v_R * v_low - v_low ** 2.0) / v_R)
        else:
            v_kn = 1.0
        v_kt: float
        if v_open_area or v_wall:
            v_kt = min(v_thin_most, 1.0 / v_kx_x, 1.0 / v_kx)
        elif v_kn < 1.0:
            v_kt = min(v_thin_most, 1.0 / v_kn)
        else:
            v_kt = 1.0
        v_kd: float
        if v_drilling:
            v_kd = 1.0
        else:
            v_kd = chart(tables.derating, v_ap / v_D, 1)
        v_fz_least: float
        if v_De < v_D_split:
            v_fz_least = data.rubbing.feed_per_tooth_small.value
        else:
            v_fz_least = v_fz_large
        v_hm_least: float = v_hm_large * v_fz_least / v_fz_large
        v_fz_min: float
        if v_finishing or v_drilling:
            v_fz_min = v_fz_least
        else:
            v_fz_min = max(v_fz_least, v_hm_least * max(acos(1.0 - 2.0 * v_x) / (2.0 * v_x), pi / 2.0))
        return Meet(v_ap, v_wall, v_aside, v_low, v_De, v_ae, v_x, v_turn, v_xw, v_e, v_S_slot, v_S, v_kx, v_km, v_teeth, v_t, v_kx_x, v_kn, v_kt, v_kd, v_fz_least, v_hm_least, v_fz_min)

    # Loads of a chip

    def b_push(v_p: Meet, v_ap: float, v_fz: float) -> Push:
        v_h: float = v_fz * v_p.kx
        v_h_e: float = min(max(v_h * v_p.e, v_h_low), v_h_high)
        v_kc: float = v_Af * v_h_e ** -v_m
        v_edge: float
        if v_drilling:
            v_edge = v_D / 2.0
        else:
            v_edge = v_ap
        v_Ft: float = v_kc * v_edge * v_h
        v_Fs: float = v_ks * v_Ft * v_p.t
        v_Fa: float = max(0.0, v_Ft * tan(radians(v_helix)) * v_p.t)
        v_d: float
        if v_drilling:
            v_d = 0.0
        else:
            v_d = v_Fs * v_c
        v_sb: float
        if v_drilling:
            v_sb = 0.0
        else:
            v_sb = v_Fs * v_cs
        return Push(v_p, v_ap, v_fz, v_h, v_h_e, v_kc, v_edge, v_Ft, v_Fs, v_Fa, v_d, v_sb)

    def b_power(v_p: Meet, v_fz: float, v_n: float) -> Power:
        v_hm_e: float = min(max(v_fz * v_p.km * v_p.e, v_h_low), v_h_high)
        v_kcm: float = v_Ap * v_hm_e ** -v_m
        v_Q: float = v_p.S * v_fz * v_z * v_n
        v_P: float = v_kcm * v_Q / v_k60
        return Power(v_p, v_fz, v_n, v_hm_e, v_kcm, v_Q, v_P)

    def b_by_force(v_p: Meet, v_ap: float, v_F: float, v_n: float) -> ByForce:
        v_v: float = v_F * v_p.e / (v_ks * v_p.t * v_ap * v_Af)
        v_h_0: float = v_v ** (1.0 / (1.0 - v_m))
        v_h: float
        if v_h_0 < v_h_low:
            v_h = v_v * v_h_low ** v_m
        elif v_h_0 > v_h_high:
            v_h = v_v * v_h_high ** v_m
        else:
            v_h = v_h_0
        v_vf: float = v_h / (v_p.e * v_p.kx) * v_z * v_n
        return ByForce(v_p, v_ap, v_F, v_n, v_v, v_h_0, v_h, v_vf)

    def b_by_power(v_p: Meet, v_n: float) -> ByPower:
        v_v: float = v_P_max * v_k60 * v_p.km * v_p.e / (v_p.S * v_z * v_n * v_Ap)
        v_h_0: float = v_v ** (1.0 / (1.0 - v_m))
        v_h: float
        if v_h_0 < v_h_low:
            v_h = v_v * v_h_low ** v_m
        elif v_h_0 > v_h_high:
            v_h = v_v * v_h_high ** v_m
        else:
            v_h = v_h_0
        v_vf: float = v_h / (v_p.e * v_p.km) * v_z * v_n
        return ByPower(v_p, v_n, v_v, v_h_0, v_h, v_vf)
    v_D_vee: float = 3.0
    v_D_chip: float
    if v_shape == 'v-bit':
        v_D_chip = min(v_D, v_D_vee)
    elif v_shape == 'bowl' and v_RE > 0.0:
        v_D_chip = v_RE
    else:
        v_D_chip = v_D
    v_D_small: float = least(tables.starts, 0)
    v_k_small_D: float = min(1.0, v_D_chip / v_D_small)
    v_fz_low_hard: float = chart(tables.starts, v_D_chip, 1)
    v_fz_top_hard: float = chart(tables.starts, v_D_chip, 2)
    v_fz_low: float = v_fz_low_hard * v_k_small_D * v_k_mat
    v_fz_top: float = v_fz_top_hard * v_k_small_D * v_k_mat

    # The chip and the speed that depths are set by
    v_vf_cap: float
    if v_drilling:
        v_vf_cap = v_vz_max
    else:
        v_vf_cap = v_vf_max
    v_n_common: float = 18000.0
    v_v_rim: float = 12.0
    v_k_rim: float = 60000.0
    v_n_rim: float = v_k_rim * v_v_rim / (pi * v_D)
    v_n_ref: float
    if v_n_mark is not None:
        v_n_ref = min(v_n_common, v_n_rim, v_n_top, v_n_mark)
    else:
        v_n_ref = min(v_n_common, v_n_rim, v_n_top)

    def b_pushed(v_ap: float) -> Pushed:
        v_p: Meet = b_meet(v_ap, v_along_wall, v_s_wide)
        v_fz_ref: float = v_fz_low * v_p.kd
        v_fz: float = max(v_fz_ref, v_p.fz_min)
        v_f: Push = b_push(v_p, v_ap, v_fz)
        v_Fs: float = v_f.Fs
        return Pushed(v_ap, v_p, v_fz_ref, v_fz, v_f, v_Fs)

    def b_powered(v_ap: float) -> Powered:
        v_p: Meet = b_meet(v_ap, v_along_wall, v_s_wide)
        v_fz_ref: float = v_fz_low * v_p.kd
        v_fz: float = min(max(v_fz_ref, v_p.fz_min), v_vf_cap / (v_z * v_n_ref))
        v_o: Power = b_power(v_p, v_fz, v_n_ref)
        v_P: float = v_o.P
        return Powered(v_ap, v_p, v_fz_ref, v_fz, v_o, v_P)

    # The way down that the cut offers
    v_a_usual: float = data.plunge.ramp_angle_typical.value
    v_a_steep: float = data.plunge.ramp_angle.high
    v_a_helix: float = data.plunge.helix_angle.high
    v_q_helix_low: float = data.plunge.helix_path.low
    v_q_helix: float = data.plunge.helix_path.high
    v_D_helix: float | None
    if v_W is not None:
        v_D_helix = min(v_W - v_D, v_q_helix * v_D)
    else:
        v_D_helix = None
    v_outside = not v_drilling and (v_open_entry or v_work in ('face', 'surfacing', 'chamfer',))
    v_helix_fits = v_D_helix is not None and v_D_helix >= v_q_helix_low * v_D
    v_must_ramp = not (v_drilling or v_outside or v_centre or v_helix_fits)

    # What bounds the depth of one pass
    v_q_peck: float = data.plunge.peck_depth.high
    v_q_ap_strong: float
    if v_F_max <= 600.0:
        v_q_ap_strong = 0.8
    else:
        v_q_ap_strong = 1.0
    v_q_ap: float
    if v_F_max <= 20.0:
        v_q_ap = 0.2
    elif v_F_max <= 200.0:
        v_q_ap = 0.5
    else:
        v_q_ap = v_q_ap_strong
    v_q_wall: float = 2.0
    v_q_skim: float = 0.1
    v_kD: float
    if v_along_wall:
        v_kD = v_q_wall
    elif v_shape == 'surfacing':
        v_kD = v_q_skim * v_q_ap
    else:
        v_kD = v_q_ap
    v_D_wide: float = 12.7
    v_D_ap: float
    if v_shape == 'surfacing':
        v_D_ap = v_D
    elif v_shape == 'bowl' and v_RE > 0.0:
        v_D_ap = v_RE
    else:
        v_D_ap = min(v_D, v_D_wide)
    v_ap_0: float = min(v_H, v_APMX, v_kD * v_D_ap)
    v_F_bend: float = v_d_max / v_c
    v_F_break: float | None
    if v_s_max is not None:
        v_F_break = v_s_max / v_cs
    else:
        v_F_break = None
    v_first: Pushed | None
    if not v_drilling:
        v_first = b_pushed(v_ap_0)
    else:
        v_first = None
    v_first_P: Powered | None
    if not v_drilling:
        v_first_P = b_powered(v_ap_0)
    else:
        v_first_P = None
    h_ap: list[Bound] = []
    h_ap.append((v_H, R277))
    h_ap.append((v_APMX, R278))
    if v_drilling:
        h_ap.append((v_q_peck * v_D, R279))
    if not v_drilling:
        h_ap.append((v_kD * v_D_ap, R280))
    if v_first is not None and v_first.Fs > v_F_max:
        h_ap.append((largest(v_ap_0, lambda w_ap: b_pushed(w_ap).Fs <= v_F_max), R281))
    if v_first_P is not None and v_first_P.P > v_P_max:
        h_ap.append((largest(v_ap_0, lambda w_ap: b_powered(w_ap).P <= v_P_max), R282))
    if v_first is not None and v_first.Fs > v_F_bend:
        h_ap.append((largest(v_ap_0, lambda w_ap: b_pushed(w_ap).Fs <= v_F_bend), R283))
    if v_first is not None and v_F_kept is not None and v_first.Fs > v_F_kept:
        h_ap.append((largest(v_ap_0, lambda w_ap: b_pushed(w_ap).Fs <= v_F_kept), R284))
    if v_first is not None and v_F_break is not None and v_first.Fs > v_F_break:
        h_ap.append((largest(v_ap_0, lambda w_ap: b_pushed(w_ap).Fs <= v_F_break), R285))
    if v_must_ramp and v_way is not None:
        h_ap.append((v_way * tan(radians(v_a_steep)), R286))
    u_ap_high = min(h_ap, key=value_of)
    v_ap_high = u_ap_high[0]
    v_ap_reason = u_ap_high[1].words
    v_ap_load = u_ap_high[1].load
    l_ap: list[Bound] = []
    l_ap.append((0.0, R287))
    u_ap_low = max(l_ap, key=value_of)
    v_ap_low = u_ap_low[0]
    v_ap_low_reason = u_ap_low[1].words
    v_ap_least: float = 0.1
    c_ap: list[Bound] = []
    c_ap.append((min(v_ap_least, v_H), R289))
    k_ap = max([*l_ap, *c_ap], key=value_of)
    if k_ap[0] > u_ap_high[0] * 1.000000001:
        return crossing(msg('No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.', quantity=term('depth per pass'), shape=worded(v_shape), D=figures(v_D, 'mm'), machine_name=worded(v_machine_name), low=figures(k_ap[0], 'mm'), low_reason=term(k_ap[1].words), high=figures(u_ap_high[0], 'mm'), high_reason=term(u_ap_high[1].words), gap=term('no value satisfies both')), k_ap, u_ap_high, HELPS)

    # Passes
    v_hair_N: float = 0.000001
    v_ap_m: float
    if v_ap_own is not None:
        v_ap_m = min(v_ap_own, v_H)
    else:
        v_ap_m = v_ap_high
    v_N: float = max(1.0, -float(floor(v_hair_N - v_H / v_ap_m)))
    v_ap: float = v_H / v_N
    v_ap_why = msg('{N} equal passes', N=figures(v_N, ''))
    v_ap_deep: float = max(v_ap_high, v_ap)
    v_deep: Meet = b_meet(v_ap_deep, v_along_wall, v_s_wide)
    v_thin: Meet = b_meet(v_ap_deep, v_along_wall, v_s_thin)
    v_fz_floor: float = max(v_thin.fz_min, v_deep.fz_min)
    v_n_dial_low: float | None
    if v_dialled:
        v_n_dial_low = least(machine.dial, 1)
    else:
        v_n_dial_low = None
    v_n_dial_high: float | None
    if v_dialled:
        v_n_dial_high = most(machine.dial, 1)
    else:
        v_n_dial_high = None
    v_D_charts: float = most(tables.speeds, 0)
    v_n_D: float | None
    if v_D <= v_D_charts:
        v_n_D = step(tables.speeds, v_D, 1)
    else:
        v_n_D = None
    v_n_trial: float = 1000.0
    v_thinnest: Power = b_power(v_deep, v_fz_floor, v_n_trial)
    l_n: list[Bound] = []
    if v_n_dial_low is not None:
        l_n.append((max(v_n_bottom, v_n_dial_low), R306))
    else:
        l_n.append((v_n_bottom, R307))
    u_n_low = max(l_n, key=value_of)
    v_n_low = u_n_low[0]
    v_n_low_reason = u_n_low[1].words
    h_n: list[Bound] = []
    if v_n_dial_high is not None:
        h_n.append((min(v_n_top, v_n_dial_high), R308))
    else:
        h_n.append((v_n_top, R309))
    if v_n_mark is not None:
        h_n.append((v_n_mark, R310))
    if v_n_D is not None:
        h_n.append((v_n_D, R311))
    h_n.append((v_vf_cap / (v_z * v_fz_floor), R312))
    if not v_drilling:
        h_n.append((v_P_max * v_n_trial / v_thinnest.P, R313))
    u_n_high = min(h_n, key=value_of)
    v_n_high = u_n_high[0]
    v_n_reason = u_n_high[1].words
    v_n_load = u_n_high[1].load
    k_n = u_n_low
    if k_n[0] > u_n_high[0]:
        return crossing(msg('No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.', quantity=term('speed'), shape=worded(v_shape), D=figures(v_D, 'mm'), machine_name=worded(v_machine_name), low=figures(k_n[0], 'min-1'), low_reason=term(k_n[1].words), high=figures(u_n_high[0], 'min-1'), high_reason=term(u_n_high[1].words), gap=term('no value satisfies both')), k_n, u_n_high, HELPS)
    v_n_drill: float = 6000.0
    v_n_usual: float
    if v_shape == 'drill':
        v_n_usual = v_n_drill
    else:
        v_n_usual = min(v_n_rim, v_n_common)
    v_usual_why: Words
    if v_shape == 'drill':
        v_usual_why = 'speed of boring heads'
    elif v_n_rim < v_n_common:
        v_usual_why = msg('rim speed {v_rim}', v_rim=figures(v_v_rim, 'm/s'))
    else:
        v_usual_why = 'usual speed'
    v_q_floor: float = 1.25
    v_fz_safe: float = v_q_floor * v_fz_floor
    v_q_half: float = 0.65
    v_q_more: float = 0.75
    v_vf_use: float = max(v_q_half * v_vf_cap, min(v_z * v_fz_safe * max(v_n_low, min(v_n_usual, v_n_high)), v_q_more * v_vf_cap))
    v_n_fast: float = v_vf_use / (v_z * v_fz_safe)
    v_n_pick: float = min(v_n_usual, v_n_fast)
    v_n_in: float = min(max(v_n_pick, v_n_low), v_n_high)
    v_n_step: float = 100.0
    v_hair_step: float = 0.000000001
    v_n_even: float = max(v_n_low, float(floor(v_n_in / v_n_step + v_hair_step)) * v_n_step)
    v_n_dial: float | None
    if v_dialled:
        v_n_dial = nearest(machine.dial, 1, v_n_even, v_n_low, v_n_high)
    else:
        v_n_dial = None
    if v_dialled and v_n_dial is None:
        return crossing(msg('No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.', quantity=term('speed'), shape=worded(v_shape), D=figures(v_D, 'mm'), machine_name=worded(v_machine_name), low=figures(u_n_low[0], 'min-1'), low_reason=term(u_n_low[1].words), high=figures(u_n_high[0], 'min-1'), high_reason=term(u_n_high[1].words), gap=term('no dial position lies between')), u_n_low, u_n_high, HELPS)
    v_n_0: float
    if v_n_dial is not None:
        v_n_0 = v_n_dial
    else:
        v_n_0 = v_n_even
    v_n: float
    if v_n_own is not None:
        v_n = v_n_own
    else:
        v_n = v_n_0
    v_dial = named(machine.dial, v_n)
    v_pick_why: Words
    if v_n_pick < v_n_low * (1.0 - v_hair_step):
        v_pick_why = 'lowest allowed'
    elif v_n_pick > v_n_high * (1.0 + v_hair_step):
        v_pick_why = 'highest allowed'
    elif v_n_fast < v_n_usual * (1.0 - v_hair_step):
        v_pick_why = 'keeps the chip above the rubbing floor'
    else:
        v_pick_why = v_usual_why
    v_n_why: Words
    if v_dial is not None:
        v_n_why = msg('{pick_why}; dial {dial}', pick_why=worded(v_pick_why), dial=worded(v_dial))
    else:
        v_n_why = v_pick_why
    v_n_most: float = max(v_n_high, v_n)

    # Thrust of a cutter that goes straight down
    v_q_thrust: float = 0.5
    v_k_thrust: float
    if v_shape == 'drill':
        v_k_thrust = 0.5
    elif v_shape in ('straight', 'down-cut',):
        v_k_thrust = 1.3
    else:
        v_k_thrust = 1.0
    v_A_thrust: float = v_kc_ref * v_h_ref ** v_m * (v_rho / v_rho_ref) ** v_nd * v_k_thrust
    v_D_thrust: float
    if v_vee:
        v_D_thrust = (v_w + v_deep.De) / 2.0
    elif v_rounded:
        v_D_thrust = (v_b + v_deep.De) / 2.0
    else:
        v_D_thrust = v_D
    v_v_thrust: float = v_q_thrust * v_F_max / (v_A_thrust * v_D_thrust * v_z)
    v_h_thrust_0: float = v_v_thrust ** (1.0 / (1.0 - v_m))
    v_h_thrust: float
    if v_h_thrust_0 < v_h_low:
        v_h_thrust = v_v_thrust * v_h_low ** v_m
    elif v_h_thrust_0 > v_h_high:
        v_h_thrust = v_v_thrust * v_h_high ** v_m
    else:
        v_h_thrust = v_h_thrust_0
    v_vz_thrust: float = v_h_thrust * v_z * v_n

    # Limits
    l_vf: list[Bound] = []
    l_vf.append((v_fz_floor * v_z * v_n, R358))
    u_vf_low = max(l_vf, key=value_of)
    v_vf_low = u_vf_low[0]
    v_vf_low_reason = u_vf_low[1].words
    h_vf: list[Bound] = []
    if v_drilling:
        h_vf.append((v_vz_max, R359))
    if v_drilling:
        h_vf.append((v_vz_thrust, R360))
    if not v_drilling:
        h_vf.append((v_vf_max, R361))
    h_vf.append((v_fz_top * v_deep.kd * v_deep.kt * v_z * v_n, R362))
    if not v_drilling:
        h_vf.append((b_by_force(v_deep, v_ap_deep, v_F_max, v_n).vf, R363))
    h_vf.append((b_by_power(v_deep, v_n_most).vf, R364))
    if not v_drilling:
        h_vf.append((b_by_force(v_deep, v_ap_deep, v_F_bend, v_n).vf, R365))
    if v_F_kept is not None and not v_drilling:
        h_vf.append((b_by_force(v_deep, v_ap_deep, v_F_kept, v_n).vf, R366))
    if v_F_break is not None and not v_drilling:
        h_vf.append((b_by_force(v_deep, v_ap_deep, v_F_break, v_n).vf, R367))
    u_vf_high = min(h_vf, key=value_of)
    v_vf_high = u_vf_high[0]
    v_vf_reason = u_vf_high[1].words
    v_vf_load = u_vf_high[1].load
    k_vf = u_vf_low
    if k_vf[0] > u_vf_high[0] * 1.000000001:
        return crossing(msg('No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.', quantity=term('feed'), shape=worded(v_shape), D=figures(v_D, 'mm'), machine_name=worded(v_machine_name), low=figures(k_vf[0], 'mm/min'), low_reason=term(k_vf[1].words), high=figures(u_vf_high[0], 'mm/min'), high_reason=term(u_vf_high[1].words), gap=term('no value satisfies both')), k_vf, u_vf_high, HELPS)

    # Where the feed starts
    v_q_class: float
    if v_F_max <= 60.0:
        v_q_class = 0.3
    elif v_light:
        v_q_class = 0.35
    elif v_rigid:
        v_q_class = 0.55
    else:
        v_q_class = 0.45
    v_q_kind: float
    if v_ball_like:
        v_q_kind = 0.7
    else:
        v_q_kind = 1.0
    v_fz_range: float = v_q_class * v_q_kind * v_fz_top * v_deep.kd * v_deep.kt
    v_fz_0: float = max(v_fz_range, v_fz_safe)
    v_range_why: Words
    if v_fz_range < v_fz_safe:
        v_range_why = 'just above the rubbing floor'
    else:
        v_range_why = 'starting chip of the class'
    v_q_load: float = 0.8
    v_vf_chip: float = v_fz_0 * v_z * v_n
    v_vf_top: float
    if v_vf_load:
        v_vf_top = v_q_load * v_vf_high
    else:
        v_vf_top = v_vf_high
    v_vf_pick: float = min(v_vf_chip, v_vf_use, v_vf_top)
    v_vf_step: float = 10.0
    v_vf_0: float = max(v_vf_low, float(floor(max(v_vf_pick, v_vf_low) / v_vf_step + v_hair_step)) * v_vf_step)
    v_vf: float
    if v_vf_own is not None:
        v_vf = v_vf_own
    else:
        v_vf = v_vf_0
    v_vf_why: Words
    if v_vf_pick <= v_vf_low:
        v_vf_why = v_vf_low_reason
    elif v_vf_top <= min(v_vf_chip, v_vf_use):
        v_vf_why = v_vf_reason
    elif v_vf_chip <= v_vf_use:
        v_vf_why = v_range_why
    else:
        v_vf_why = "share of the machine's feed"
    v_n_follow: float = v_n * v_vf_high / v_vf

    # Plunge
    v_q_vz_low: float = data.plunge.feed_ratio.low
    v_q_vz: float = data.plunge.feed_ratio.high
    v_q_vz_0: float = 0.4
    l_vz: list[Bound] = []
    if not v_drilling:
        l_vz.append((min(v_q_vz_low * v_vf, v_q_vz_low / v_q_vz * min(v_vz_max, v_vz_thrust)), R395))
    u_vz_low = max(l_vz, key=value_of, default=None)
    v_vz_low = None if u_vz_low is None else u_vz_low[0]
    v_vz_low_reason = None if u_vz_low is None else u_vz_low[1].words
    h_vz: list[Bound] = []
    if not v_drilling:
        h_vz.append((v_q_vz * v_vf, R396))
    if not v_drilling:
        h_vz.append((v_vz_max, R397))
    if not v_drilling:
        h_vz.append((v_vz_thrust, R398))
    u_vz_high = min(h_vz, key=value_of, default=None)
    v_vz_high = None if u_vz_high is None else u_vz_high[0]
    v_vz_reason = None if u_vz_high is None else u_vz_high[1].words
    v_vz_load = None if u_vz_high is None else u_vz_high[1].load
    k_vz = u_vz_low
    if k_vz is not None and u_vz_high is not None and k_vz[0] > u_vz_high[0]:
        return crossing(msg('No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.', quantity=term('plunge'), shape=worded(v_shape), D=figures(v_D, 'mm'), machine_name=worded(v_machine_name), low=figures(k_vz[0], 'mm/min'), low_reason=term(k_vz[1].words), high=figures(u_vz_high[0], 'mm/min'), high_reason=term(u_vz_high[1].words), gap=term('no value satisfies both')), k_vz, u_vz_high, HELPS)
    v_vz_step: float = 10.0
    v_vz_pick: float | None
    if v_vz_high is not None:
        v_vz_pick = min(v_q_vz_0 * v_vf, v_q_load * v_vz_high)
    else:
        v_vz_pick = None
    v_vz_0: float
    if v_vz_pick is not None and v_vz_low is not None:
        v_vz_0 = max(v_vz_low, float(floor(v_vz_pick / v_vz_step + v_hair_step)) * v_vz_step)
    else:
        v_vz_0 = v_vf
    v_vz: float
    if v_vz_own is not None and not v_drilling:
        v_vz = v_vz_own
    else:
        v_vz = v_vz_0
    v_vz_why: Words | None
    if v_vz_pick is not None and v_vz_pick < v_q_vz_0 * v_vf:
        v_vz_why = v_vz_reason
    else:
        v_vz_why = 'two fifths of the feed'

    # How the cutter goes down
    v_q_whole: float = data.plunge.single_peck.value
    v_q_ramp: float = data.plunge.ramp_feed_over_feed_times_flutes.value
    v_Lr_usual: float = v_ap / tan(radians(v_a_usual))
    v_Lr_steep: float = v_ap / tan(radians(v_a_steep))
    v_pecks = v_drilling and v_H > v_q_whole * v_D
    v_q_straight: float
    if v_light:
        v_q_straight = 0.5
    else:
        v_q_straight = 1.0
    v_thrust_bears = v_vz_thrust >= v_q_vz_low * v_vf
    v_straight = v_drilling or v_centre and v_thrust_bears and (v_ap <= v_q_straight * v_D or v_shape == 'v-bit')
    v_ramps = v_way is None or v_way + v_hair >= v_Lr_steep
    v_sloping: Words | None
    if v_ramps:
        v_sloping = 'ramp'
    elif v_helix_fits:
        v_sloping = 'helix'
    elif v_centre:
        v_sloping = 'straight plunge'
    else:
        v_sloping = None
    v_manner: Words | None
    if v_pecks:
        v_manner = 'peck'
    elif v_outside:
        v_manner = 'from outside'
    elif v_straight:
        v_manner = 'straight plunge'
    else:
        v_manner = v_sloping
    v_way_has: float
    if v_way is not None:
        v_way_has = v_way
    else:
        v_way_has = 0.0
    v_W_helix: float = v_D * (1.0 + v_q_helix_low)
    stops = []
    if v_manner is None:
        stops.append(Told('ENTRY', msg('The {shape} of {D} cannot go down here: a ramp of {a_steep} needs {Lr_steep} of travel for a pass of {ap}, the cut has {way_has}, and a helix needs a width of {W_helix}.', shape=worded(v_shape), D=Quantity(v_D, 'mm', 4), a_steep=figures(v_a_steep, 'deg'), Lr_steep=Quantity(v_Lr_steep, 'mm', 1), ap=Quantity(v_ap, 'mm', 2), way_has=Quantity(v_way_has, 'mm', 1), W_helix=Quantity(v_W_helix, 'mm', 1)), ('use a centre-cutting cutter', 'drill a starting hole')))
    if stops:
        return Refusal(tuple(stops))
    v_a_in: float | None
    if v_manner == 'helix':
        v_a_in = min(v_a_usual, v_a_helix)
    elif v_manner == 'ramp' and (v_way is None or v_way + v_hair >= v_Lr_usual):
        v_a_in = v_a_usual
    elif v_manner == 'ramp':
        v_a_in = v_a_steep
    else:
        v_a_in = None
    v_Lr: float | None
    if v_a_in is not None:
        v_Lr = v_ap / tan(radians(v_a_in))
    else:
        v_Lr = None
    v_vr: float
    if v_a_in is not None:
        v_vr = min(v_vf * v_q_ramp / v_z, v_vz_max / sin(radians(v_a_in)))
    else:
        v_vr = v_vz
    v_D_path: float | None
    if v_manner == 'helix':
        v_D_path = v_D_helix
    else:
        v_D_path = None
    v_peck: float | None
    if v_manner == 'peck':
        v_peck = v_ap
    else:
        v_peck = None

    # The chip and the loads at the start values
    v_at: Meet = b_meet(v_ap, v_along_wall, v_s_now)
    v_fz: float = v_vf / (v_z * v_n)
    v_hm: float = v_fz * 2.0 * v_at.x / acos(1.0 - 2.0 * v_at.x)
    v_h_top: float = v_fz * v_at.kx_x
    v_thinning: float = 1.0 / v_at.kx_x
    v_v_tip: float = pi * v_at.De * v_n / v_k_rim
    v_own: Push = b_push(v_at, v_ap, v_fz)
    v_own_P: Power = b_power(v_at, v_fz, v_n)
    v_fz_most: float = max(v_vf_high, v_vf) / (v_z * v_n)
    v_worst: Push = b_push(v_deep, v_ap_deep, v_fz_most)
    v_F_most: float = v_worst.Fs
    v_U_most: float = v_worst.Fa
    v_half_s: float | None
    if v_s is not None and v_shape == 'bowl' and v_slope == 0.0:
        v_half_s = max(0.0, v_s - v_b) / 2.0
    elif v_s is not None and v_ball_like:
        v_half_s = v_s / (2.0 * cos(radians(v_slope)))
    else:
        v_half_s = None
    v_hc: float | None
    if v_half_s is not None and v_half_s <= v_R:
        v_hc = v_R - sqrt(v_R ** 2.0 - v_half_s ** 2.0)
    else:
        v_hc = None

    # Direction of cut
    v_F_belt: float = 63.0
    v_gives = v_F_max < v_F_belt
    v_D_climb: float = 50.0
    v_a_climb: float = 3.0
    v_light_pass = v_finishing and not v_panel and v_D <= v_D_climb and v_a <= v_a_climb
    v_has_way = v_work in ('profile', 'pocket', 'dish', 'face', 'surfacing',)
    v_direction: Words | None
    if v_has_way and v_light_pass and not v_gives:
        v_direction = 'climb'
    elif v_has_way:
        v_direction = 'conventional'
    else:
        v_direction = None
    v_direction_why: Words | None
    if v_direction == 'climb':
        v_direction_why = 'a light climb pass tears the grain less'
    elif v_direction == 'conventional' and v_gives:
        v_direction_why = 'a climb cut would pull the frame along'
    elif v_direction == 'conventional':
        v_direction_why = 'a conventional cut is easier to control'
    else:
        v_direction_why = None

    # What is risky
    v_hm_new: float = data.rubbing.edge_radius_new.high
    v_fz_small: float = data.rubbing.feed_per_tooth_small.value
    v_k_small: float
    if v_at.De < v_D_split:
        v_k_small = v_fz_small / v_fz_large
    else:
        v_k_small = 1.0
    v_h_seen: float = v_h_top * v_deep.kn
    v_h_new: float = v_k_small * v_hm_new
    v_hm_burn: float = v_k_small * v_hm_large
    v_slack: float = 0.001
    v_L_over: float
    if not v_headed:
        v_L_over = max(v_APMX / v_D, v_L / v_DMM)
    else:
        v_L_over = v_L / v_DMM
    v_L_sings: float = 5.0
    v_grip_left: float = v_OAL - v_L
    v_D_range_high: float = most(tables.starts, 0)
    notes: list[Told] = []
    if v_finishing and (v_fz < v_fz_floor * (1.0 - v_slack) or v_h_seen < v_h_new * (1.0 - v_slack) and not v_drilling):
        notes.append(Told('BURN', msg('Burn risk: the thickest chip is {h_seen} at {fz} per tooth; under {h_new} the edge rubs more than it cuts.', h_seen=figures(v_h_seen, 'mm'), fz=figures(v_fz, 'mm'), h_new=figures(v_h_new, 'mm')), ('keep the cutter sharp and moving', 'feed faster, up to the end of the range')))
    if not v_finishing and (v_fz < v_fz_floor * (1.0 - v_slack) or v_hm < v_hm_burn * (1.0 - v_slack) and not v_drilling):
        notes.append(Told('BURN', msg('Burn risk: the mean chip is {hm} at {fz} per tooth; under {hm_burn} the edge rubs more than it cuts.', hm=figures(v_hm, 'mm'), fz=figures(v_fz, 'mm'), hm_burn=figures(v_hm_burn, 'mm')), ('keep the cutter sharp and moving', 'feed faster, up to the end of the range')))
    if v_L_over >= v_L_sings and not v_drilling and v_L_own is not None and v_L_own > v_L_least + v_hair:
        notes.append(Told('CHATTER', msg('Chatter risk: the cutter is {L_over} times as long as it is thick; from {L_sings} on it tends to sing.', L_over=Quantity(v_L_over, '', 1), L_sings=figures(v_L_sings, '')), ('push the cutter further into the collet', 'a shorter cutter')))
    if v_L_over >= v_L_sings and not v_drilling and not (v_L_own is not None and v_L_own > v_L_least + v_hair):
        notes.append(Told('CHATTER', msg('Chatter risk: the cutter is {L_over} times as long as it is thick; from {L_sings} on it tends to sing.', L_over=Quantity(v_L_over, '', 1), L_sings=figures(v_L_sings, '')), ('a shorter or thicker cutter',)))
    if v_s_max is not None and v_own.sb > v_s_max * (1.0 + v_slack):
        notes.append(Told('FRAGILE', msg('The cutter is stressed to {own_sb}; {s_max} is allowed.', own_sb=figures(v_own.sb, 'MPa'), s_max=figures(v_s_max, 'MPa')), ('a smaller depth per pass', 'a shorter or thicker cutter')))
    if v_grip_left < v_grip_least - v_hair:
        notes.append(Told('SHORT_GRIP', msg('The collet holds only {grip_left} of a {DMM} shank; two diameters are wanted.', grip_left=figures(v_grip_left, 'mm'), DMM=figures(v_DMM, 'mm')), ('a longer cutter', 'a shallower cut')))
    if not v_shape in ('v-bit', 'surfacing',) and (v_D < v_D_small or v_D > v_D_range_high):
        notes.append(Told('BEYOND_TABLE', msg('No starting chip is known for a diameter of {D}; the nearest one was taken.', D=figures(v_D, 'mm')), ("follow the cutter maker's chart", 'try on scrap')))

    # What helps where limits cross
    return Values(v_shape, v_D, v_APMX, v_DMM, v_OAL, v_z, v_w, v_RE, v_centre, v_n_mark, v_L_own, v_helix, v_A, v_body, v_E, v_s_max, v_work, v_finishing, v_H, v_reach, v_a, v_W, v_way, v_slope, v_hc_max, v_corners, v_open_entry, v_keeper, v_F_hold, v_U_hold, v_s_own, v_ap_own, v_n_own, v_vz_own, v_vf_own, v_kind, v_panel, v_rho, v_k_mat, v_machine_name, v_collets, v_F_max, v_P_max, v_vf_max, v_vz_max, v_n_bottom, v_n_top, v_dialled, v_light, v_rigid, v_hair, v_drilling, v_along_wall, v_lanes, v_end_mill, v_headed, v_ball_like, v_R, v_b, v_vee, v_rounded, v_open_area, v_shank_play, v_q_grip, v_grip_least, v_run_out, v_clearance, v_q_part, v_L_shank, v_grip, v_L_need, v_L_least, v_L, v_q_core, v_d1, v_l1, v_c, v_cs, v_d_max, v_finish_round, v_q_least, v_q, v_q_most, v_hc_top, v_q_narrow, v_s_least, u_s_low, l_s, u_s_high, h_s, v_s, v_s_why, v_s_wide, v_s_thin, v_s_now, v_kc_ref, v_h_ref, v_m, v_rho_ref, v_nd, v_h_low, v_h_high, v_B, v_u, v_g_mean, v_g_worst, v_Af, v_Ap, v_ks, v_F_kept, v_k60, v_r_in, v_thin_most, v_D_split, v_fz_large, v_hm_large, v_hair_t, v_D_vee, v_D_chip, v_D_small, v_k_small_D, v_fz_low_hard, v_fz_top_hard, v_fz_low, v_fz_top, v_vf_cap, v_n_common, v_v_rim, v_k_rim, v_n_rim, v_n_ref, v_a_usual, v_a_steep, v_a_helix, v_q_helix_low, v_q_helix, v_D_helix, v_outside, v_helix_fits, v_must_ramp, v_q_peck, v_q_ap_strong, v_q_ap, v_q_wall, v_q_skim, v_kD, v_D_wide, v_D_ap, v_ap_0, v_F_bend, v_F_break, v_first, v_first_P, v_ap_least, u_ap_low, l_ap, u_ap_high, h_ap, v_hair_N, v_ap_m, v_N, v_ap, v_ap_why, v_ap_deep, v_deep, v_thin, v_fz_floor, v_n_dial_low, v_n_dial_high, v_D_charts, v_n_D, v_n_trial, v_thinnest, u_n_low, l_n, u_n_high, h_n, v_n_drill, v_n_usual, v_usual_why, v_q_floor, v_fz_safe, v_q_half, v_q_more, v_vf_use, v_n_fast, v_n_pick, v_n_in, v_n_step, v_hair_step, v_n_even, v_n_dial, v_n_0, v_n, v_dial, v_pick_why, v_n_why, v_n_most, v_q_thrust, v_k_thrust, v_A_thrust, v_D_thrust, v_v_thrust, v_h_thrust_0, v_h_thrust, v_vz_thrust, u_vf_low, l_vf, u_vf_high, h_vf, v_q_class, v_q_kind, v_fz_range, v_fz_0, v_range_why, v_q_load, v_vf_chip, v_vf_top, v_vf_pick, v_vf_step, v_vf_0, v_vf, v_vf_why, v_n_follow, v_q_vz_low, v_q_vz, v_q_vz_0, u_vz_low, l_vz, u_vz_high, h_vz, v_vz_step, v_vz_pick, v_vz_0, v_vz, v_vz_why, v_q_whole, v_q_ramp, v_Lr_usual, v_Lr_steep, v_pecks, v_q_straight, v_thrust_bears, v_straight, v_ramps, v_sloping, v_manner, v_way_has, v_W_helix, v_a_in, v_Lr, v_vr, v_D_path, v_peck, v_at, v_fz, v_hm, v_h_top, v_thinning, v_v_tip, v_own, v_own_P, v_fz_most, v_worst, v_F_most, v_U_most, v_half_s, v_hc, v_F_belt, v_gives, v_D_climb, v_a_climb, v_light_pass, v_has_way, v_direction, v_direction_why, v_hm_new, v_fz_small, v_k_small, v_h_seen, v_h_new, v_hm_burn, v_slack, v_L_over, v_L_sings, v_grip_left, v_D_range_high, notes)
