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


def traced(t: Trace, cut: Cut, cutter: CutterGeometry, material: Material, machine: MachineClass, data: CuttingData, tables: Tables, wish: RequestedSettings) -> Values | Refusal:
    """Evaluate the sheet and report each value."""

    # The cutter (ISO 13399)
    v_shape = cutter.shape
    t.put(1, v_shape)
    v_D: float = cutter.diameter
    t.put(2, v_D)
    v_APMX: float = cutter.cutting_length
    t.put(3, v_APMX)
    v_DMM: float = cutter.shank
    t.put(4, v_DMM)
    v_OAL: float = cutter.overall_length
    t.put(5, v_OAL)
    v_z: float = cutter.flutes
    t.put(6, v_z)
    v_w: float = cutter.tip
    t.put(7, v_w)
    v_RE: float = cutter.corner_radius
    t.put(8, v_RE)
    v_centre = cutter.centre_cutting
    t.put(9, v_centre)
    v_n_mark: float | None = cutter.max_speed
    t.put(10, v_n_mark)
    v_L_own: float | None = cutter.stick_out
    t.put(11, v_L_own)
    v_helix: float
    if cutter.helix is not None:
        v_helix = cutter.helix
        t.put(12, v_helix)
    elif v_shape in ('up-cut', 'compression', 'ball nose',):
        v_helix = 30.0
        t.put(13, v_helix)
    elif v_shape == 'down-cut':
        v_helix = -30.0
        t.put(14, v_helix)
    else:
        v_helix = 0.0
        t.put(15, v_helix)
    v_A: float
    if v_shape == 'v-bit' and cutter.angle is not None:
        v_A = cutter.angle
        t.put(16, v_A)
    else:
        v_A = 0.0
        t.put(17, v_A)
    v_body: Words
    if cutter.substrate == 'carbide tipped':
        v_body = 'tipped'
        t.put(18, v_body)
    elif cutter.substrate == 'hss':
        v_body = 'hss'
        t.put(19, v_body)
    else:
        v_body = 'carbide'
        t.put(20, v_body)
    v_E: float = entry(data.tool_materials, v_body).modulus.value
    t.put(21, v_E)
    v_s_max: float | None = worth(entry(data.tool_materials, v_body).allowable_stress)
    t.put(22, v_s_max)

    # The cut
    v_work = cut.work
    t.put(23, v_work)
    v_finishing = cut.finishing
    t.put(24, v_finishing)
    v_H: float = cut.depth
    t.put(25, v_H)
    v_reach: float
    if cut.reach is not None:
        v_reach = cut.reach
        t.put(26, v_reach)
    else:
        v_reach = v_H
        t.put(27, v_reach)
    v_a: float = cut.side_stock
    t.put(28, v_a)
    v_W: float | None = cut.width
    t.put(29, v_W)
    v_way: float | None = cut.length
    t.put(30, v_way)
    v_slope: float = cut.slope
    t.put(31, v_slope)
    v_hc_max: float | None = cut.cusp
    t.put(32, v_hc_max)
    v_corners = cut.inside_corners
    t.put(33, v_corners)
    v_open_entry = cut.open_entry
    t.put(34, v_open_entry)
    v_keeper = (cut.keeping.name if cut.keeping is not None else None)
    t.put(35, v_keeper)
    v_F_hold: float | None = (cut.keeping.bears if cut.keeping is not None else None)
    t.put(36, v_F_hold)
    v_U_hold: float | None = (cut.keeping.lifts if cut.keeping is not None else None)
    t.put(37, v_U_hold)

    # What the author insists on
    v_s_own: float | None
    if wish.stepover is not None:
        v_s_own = wish.stepover
        t.put(38, v_s_own)
    else:
        v_s_own = cut.stepover
        t.put(39, v_s_own)
    v_ap_own: float | None = wish.depth_per_pass
    t.put(40, v_ap_own)
    v_n_own: float | None = wish.speed
    t.put(41, v_n_own)
    v_vz_own: float | None = wish.plunge
    t.put(42, v_vz_own)
    v_vf_own: float | None
    if wish.feed is not None:
        v_vf_own = wish.feed
        t.put(43, v_vf_own)
    elif v_work == 'drill':
        v_vf_own = v_vz_own
        t.put(44, v_vf_own)
    else:
        v_vf_own = None

    # The wood
    v_kind = material.kind
    t.put(45, v_kind)
    v_panel = not v_kind in ('hardwood', 'softwood',)
    t.put(46, v_panel)
    v_rho: float = material.density.value
    t.put(47, v_rho)
    v_k_mat: float = entry(data.material_factors, v_kind).value
    t.put(48, v_k_mat)

    # The machine class, its weak end
    v_machine_name = machine.name
    t.put(49, v_machine_name)
    v_collets = machine.collet_text
    t.put(50, v_collets)
    v_F_max: float = machine.side_force.low
    t.put(51, v_F_max)
    v_P_max: float = machine.cutter_power.low
    t.put(52, v_P_max)
    v_vf_max: float = machine.feed.low
    t.put(53, v_vf_max)
    v_vz_max: float = machine.plunge.low
    t.put(54, v_vz_max)
    v_n_bottom: float = machine.lowest_speed.high
    t.put(55, v_n_bottom)
    v_n_top: float = machine.highest_speed.low
    t.put(56, v_n_top)
    v_dialled = len(machine.dial) > 0.0
    t.put(57, v_dialled)
    v_light = v_F_max < 200.0
    t.put(58, v_light)
    v_rigid = v_F_max >= 600.0
    t.put(59, v_rigid)

    # Conditions that many rows share
    v_hair: float = 0.000001
    t.put(60, v_hair)
    v_drilling = v_work == 'drill'
    t.put(61, v_drilling)
    v_along_wall = v_finishing and v_a > 0.0 and v_work in ('profile', 'pocket', 'dish',)
    t.put(62, v_along_wall)
    v_lanes = v_work in ('face', 'surfacing', 'pocket', 'dish',) and not v_along_wall
    t.put(63, v_lanes)
    v_end_mill = v_shape in ('straight', 'up-cut', 'down-cut', 'compression',)
    t.put(64, v_end_mill)
    v_headed = v_shape in ('v-bit', 'bowl', 'surfacing',)
    t.put(65, v_headed)
    v_ball_like = v_shape in ('ball nose', 'bowl',)
    t.put(66, v_ball_like)
    v_R: float
    if v_shape == 'ball nose':
        v_R = v_D / 2.0
        t.put(67, v_R)
    else:
        v_R = v_RE
        t.put(68, v_R)
    v_b: float = v_D - 2.0 * v_R
    t.put(69, v_b)
    v_vee = v_A > 0.0 and not v_drilling
    t.put(70, v_vee)
    v_rounded = v_ball_like and v_R > 0.0 and not v_drilling
    t.put(71, v_rounded)
    v_open_area = v_work in ('face', 'surfacing',) and not (v_vee or v_rounded)
    t.put(72, v_open_area)

    # What makes the cut impossible
    v_shank_play: float = 0.05
    t.put(73, v_shank_play)
    v_q_grip: float = data.plunge.shank_grip.low
    t.put(74, v_q_grip)
    v_grip_least: float = v_q_grip * v_DMM
    t.put(75, v_grip_least)
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
    t.put(76, v_run_out)
    v_clearance: float = 5.0
    t.put(77, v_clearance)
    v_q_part: float = data.plunge.shank_grip_part.value
    t.put(78, v_q_part)
    v_L_shank: float = max(0.0, v_OAL - v_APMX)
    t.put(79, v_L_shank)
    v_grip: float = min(v_L_shank, max(v_grip_least, v_q_part * v_L_shank))
    t.put(80, v_grip)
    v_L_need: float = max(v_APMX + v_run_out, v_reach + v_clearance)
    t.put(81, v_L_need)
    v_L_least: float = max(min(v_L_need, v_OAL - v_grip), min(v_reach, v_OAL))
    t.put(82, v_L_least)
    v_L: float
    if v_L_own is not None:
        v_L = v_L_own
        t.put(83, v_L)
    else:
        v_L = v_L_least
        t.put(84, v_L)
    v_q_core: float = data.equivalent_diameter.value
    t.put(85, v_q_core)
    v_d1: float
    if v_headed:
        v_d1 = v_DMM
        t.put(86, v_d1)
    else:
        v_d1 = v_q_core * v_D
        t.put(87, v_d1)
    v_l1: float = min(v_APMX, v_L)
    t.put(88, v_l1)
    v_c: float = 64.0 / (3.0 * pi * v_E) * (v_l1 ** 3.0 / v_d1 ** 4.0 + (v_L ** 3.0 - v_l1 ** 3.0) / v_DMM ** 4.0)
    t.put(89, v_c)
    v_cs: float = 32.0 / pi * max(v_l1 / v_d1 ** 3.0, v_L / v_DMM ** 3.0)
    t.put(90, v_cs)
    v_d_max: float
    if v_finishing:
        v_d_max = data.deflection_limits.finish.value
        t.put(91, v_d_max)
    else:
        v_d_max = data.deflection_limits.rough.value
        t.put(92, v_d_max)
    v_finish_round = v_finishing and (v_work == 'dish' or v_ball_like)
    t.put(93, v_finish_round)
    v_q_least: float
    if v_finish_round:
        v_q_least = 0.02
        t.put(94, v_q_least)
    elif v_finishing:
        v_q_least = 0.1
        t.put(95, v_q_least)
    elif v_ball_like:
        v_q_least = 0.4
        t.put(96, v_q_least)
    else:
        v_q_least = 0.3
        t.put(97, v_q_least)
    v_q: float
    if v_finish_round:
        v_q = 0.1
        t.put(98, v_q)
    else:
        v_q = 0.4
        t.put(99, v_q)
    v_q_most: float
    if v_finish_round:
        v_q_most = 0.25
        t.put(100, v_q_most)
    elif v_open_area:
        v_q_most = 0.75
        t.put(101, v_q_most)
    else:
        v_q_most = 0.5
        t.put(102, v_q_most)
    v_hc_top: float | None
    if v_hc_max is not None and v_ball_like:
        v_hc_top = min(v_hc_max, v_R)
        t.put(103, v_hc_top)
    else:
        v_hc_top = None
    h_s: list[Bound] = []
    if v_lanes:
        y_104 = v_q_most * v_D
        t.put(104, y_104)
        h_s.append((y_104, R104))
    if v_lanes and v_hc_top is not None and v_shape == 'bowl' and v_slope == 0.0:
        y_105 = v_b + 2.0 * sqrt(v_hc_top * (2.0 * v_R - v_hc_top))
        t.put(105, y_105)
        h_s.append((y_105, R105))
    elif v_lanes and v_hc_top is not None:
        y_106 = 2.0 * sqrt(v_hc_top * (2.0 * v_R - v_hc_top)) * cos(radians(v_slope))
        t.put(106, y_106)
        h_s.append((y_106, R106))
    if v_lanes and v_RE > 0.0 and not v_ball_like:
        y_107 = v_b
        t.put(107, y_107)
        h_s.append((y_107, R107))
    u_s_high = min(h_s, key=value_of, default=None)
    v_s_high = None if u_s_high is None else u_s_high[0]
    v_s_reason = None if u_s_high is None else u_s_high[1].words
    v_s_load = None if u_s_high is None else u_s_high[1].load
    v_q_narrow: float
    if v_ball_like and not v_finishing:
        v_q_narrow = 0.8
        t.put(108, v_q_narrow)
    else:
        v_q_narrow = 0.6
        t.put(109, v_q_narrow)
    l_s: list[Bound] = []
    if v_s_high is not None:
        y_110 = min(v_q_least * v_D, v_q_narrow * v_s_high)
        t.put(110, y_110)
        l_s.append((y_110, R110))
    u_s_low = max(l_s, key=value_of, default=None)
    v_s_low = None if u_s_low is None else u_s_low[0]
    v_s_low_reason = None if u_s_low is None else u_s_low[1].words
    v_s_least: float = 0.01
    t.put(111, v_s_least)
    c_s: list[Bound] = []
    if v_lanes:
        y_112 = v_s_least
        t.put(112, y_112)
        c_s.append((y_112, R112))
    k_s = max([*l_s, *c_s], key=value_of, default=None)
    if k_s is not None and u_s_high is not None and k_s[0] > u_s_high[0]:
        return crossing(msg('No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.', quantity=term('stepover'), shape=worded(v_shape), D=figures(v_D, 'mm'), machine_name=worded(v_machine_name), low=figures(k_s[0], 'mm'), low_reason=term(k_s[1].words), high=figures(u_s_high[0], 'mm'), high_reason=term(u_s_high[1].words), gap=term('no value satisfies both')), k_s, u_s_high, HELPS)
    v_s: float | None
    if v_lanes and v_s_own is not None:
        v_s = v_s_own
        t.put(113, v_s)
    elif v_s_high is not None:
        v_s = min(v_q * v_D, v_s_high)
        t.put(114, v_s)
    else:
        v_s = None
    v_s_why: Words | None
    if v_s_high is not None and v_q * v_D >= v_s_high:
        v_s_why = v_s_reason
        t.put(115, v_s_why)
    else:
        v_s_why = 'share of the diameter'
        t.put(116, v_s_why)
    v_s_wide: float
    if v_s is not None and v_s_high is not None:
        v_s_wide = max(v_s_high, v_s)
        t.put(117, v_s_wide)
    else:
        v_s_wide = v_D
        t.put(118, v_s_wide)
    v_s_thin: float
    if v_s is not None and v_s_low is not None:
        v_s_thin = min(v_s_low, v_s)
        t.put(119, v_s_thin)
    else:
        v_s_thin = v_D
        t.put(120, v_s_thin)
    v_s_now: float
    if v_s is not None:
        v_s_now = v_s
        t.put(121, v_s_now)
    else:
        v_s_now = v_D
        t.put(122, v_s_now)

    # Force constants: kc = A h^-m
    v_kc_ref: float = data.cutting_force.kc_ref.value
    t.put(123, v_kc_ref)
    v_h_ref: float = data.cutting_force.h_ref.value
    t.put(124, v_h_ref)
    v_m: float = data.cutting_force.m.value
    t.put(125, v_m)
    v_rho_ref: float = data.cutting_force.density_ref.value
    t.put(126, v_rho_ref)
    v_nd: float = data.cutting_force.n.value
    t.put(127, v_nd)
    v_h_low: float = data.cutting_force.h_clamp.low
    t.put(128, v_h_low)
    v_h_high: float = data.cutting_force.h_clamp.high
    t.put(129, v_h_high)
    v_B: float = data.cutting_force.band.high
    t.put(130, v_B)
    v_u: float = data.wear_factors.used.value
    t.put(131, v_u)
    v_g_mean: float
    if v_kind == 'plywood':
        v_g_mean = data.grain_factors.plywood.value
        t.put(132, v_g_mean)
    elif v_panel:
        v_g_mean = data.grain_factors.isotropic.value
        t.put(133, v_g_mean)
    else:
        v_g_mean = data.grain_factors.any_direction.value
        t.put(134, v_g_mean)
    v_g_worst: float
    if v_panel:
        v_g_worst = v_g_mean
        t.put(135, v_g_worst)
    else:
        v_g_worst = data.grain_factors.across.value
        t.put(136, v_g_worst)
    v_Af: float = v_kc_ref * v_h_ref ** v_m * (v_rho / v_rho_ref) ** v_nd * v_g_worst * v_u * v_B
    t.put(137, v_Af)
    v_Ap: float = v_kc_ref * v_h_ref ** v_m * (v_rho / v_rho_ref) ** v_nd * v_g_mean * v_u * v_B
    t.put(138, v_Ap)
    v_ks: float = data.force_ratios.side_resultant.value
    t.put(139, v_ks)
    v_F_kept: float | None
    if v_F_hold is not None and v_U_hold is not None and v_helix > 0.0:
        v_F_kept = min(v_F_hold, v_U_hold * v_ks / tan(radians(v_helix)))
        t.put(140, v_F_kept)
    else:
        v_F_kept = v_F_hold
        t.put(141, v_F_kept)
    v_k60: float = 60000.0
    t.put(142, v_k60)

    # Engagement
    v_r_in: float = 0.5
    t.put(143, v_r_in)
    v_thin_most: float = 2.0
    t.put(144, v_thin_most)
    v_D_split: float = data.rubbing.split_diameter.value
    t.put(145, v_D_split)
    v_fz_large: float = data.rubbing.feed_per_tooth.value
    t.put(146, v_fz_large)
    v_hm_large: float = data.rubbing.mean_chip.value
    t.put(147, v_hm_large)
    v_hair_t: float = 0.000001
    t.put(148, v_hair_t)

    def b_meet(v_ap: float, v_wall: bool, v_aside: float) -> Meet:
        v_low: float = min(v_ap, v_R)
        t.put(149, v_low)
        v_De: float
        if v_vee:
            v_De = min(v_D, max(v_w + 2.0 * v_ap * tan(radians(v_A / 2.0)), v_hair))
            t.put(150, v_De)
        elif v_rounded:
            v_De = v_b + 2.0 * sqrt(v_low * (2.0 * v_R - v_low))
            t.put(151, v_De)
        else:
            v_De = v_D
            t.put(152, v_De)
        v_ae: float
        if v_wall:
            v_ae = v_a
            t.put(153, v_ae)
        elif v_work == 'chamfer':
            v_ae = v_De / 2.0
            t.put(154, v_ae)
        elif v_lanes:
            v_ae = v_aside
            t.put(155, v_ae)
        else:
            v_ae = v_De
            t.put(156, v_ae)
        v_x: float = min(1.0, v_ae / v_De)
        t.put(157, v_x)
        v_turn: float = (max(0.0, 1.0 + v_r_in - 2.0 * v_a / v_De) ** 2.0 - v_r_in ** 2.0 - 1.0) / (2.0 * v_r_in)
        t.put(158, v_turn)
        v_xw: float
        if v_wall and v_corners:
            v_xw = max(v_x, (1.0 - min(max(v_turn, -1.0), 1.0)) / 2.0)
            t.put(159, v_xw)
        elif v_wall or not v_lanes or v_open_area:
            v_xw = v_x
            t.put(160, v_xw)
        else:
            v_xw = 1.0
            t.put(161, v_xw)
        v_e: float
        if v_vee:
            v_e = cos(radians(v_A / 2.0))
            t.put(162, v_e)
        elif v_rounded:
            v_e = v_ap / (v_R * acos((v_R - v_low) / v_R) + v_ap - v_low)
            t.put(163, v_e)
        else:
            v_e = 1.0
            t.put(164, v_e)
        v_S_slot: float
        if v_drilling:
            v_S_slot = pi / 4.0 * v_D ** 2.0
            t.put(165, v_S_slot)
        elif v_vee:
            v_S_slot = v_w * v_ap + v_ap ** 2.0 * tan(radians(v_A / 2.0))
            t.put(166, v_S_slot)
        elif v_rounded:
            v_S_slot = v_R ** 2.0 * acos((v_R - v_low) / v_R) - (v_R - v_low) * sqrt(2.0 * v_R * v_low - v_low ** 2.0) + v_b * v_low + v_D * (v_ap - v_low)
            t.put(167, v_S_slot)
        else:
            v_S_slot = v_D * v_ap
            t.put(168, v_S_slot)
        v_S: float
        if v_wall:
            v_S = v_ap * v_De * v_xw
            t.put(169, v_S)
        elif v_work == 'chamfer':
            v_S = v_S_slot / 2.0
            t.put(170, v_S)
        elif v_lanes and v_open_area:
            v_S = min(v_S_slot, v_aside * v_ap)
            t.put(171, v_S)
        else:
            v_S = v_S_slot
            t.put(172, v_S)
        v_kx: float
        if v_xw < 0.5:
            v_kx = 2.0 * sqrt(v_xw - v_xw ** 2.0)
            t.put(173, v_kx)
        else:
            v_kx = 1.0
            t.put(174, v_kx)
        v_km: float = 2.0 * v_xw / acos(1.0 - 2.0 * v_xw)
        t.put(175, v_km)
        v_teeth: float = v_z * acos(1.0 - 2.0 * v_xw) / (2.0 * pi)
        t.put(176, v_teeth)
        v_t: float = max(1.0, -float(floor(v_hair_t - v_teeth)))
        t.put(177, v_t)
        v_kx_x: float
        if v_x < 0.5:
            v_kx_x = 2.0 * sqrt(v_x - v_x ** 2.0)
            t.put(178, v_kx_x)
        else:
            v_kx_x = 1.0
            t.put(179, v_kx_x)
        v_kn: float
        if v_rounded and v_finishing and not v_wall:
            v_kn = max(v_hair_t, sqrt(2.0 * v_R * v_low - v_low ** 2.0) / v_R)
            t.put(180, v_kn)
        else:
            v_kn = 1.0
            t.put(181, v_kn)
        v_kt: float
        if v_open_area or v_wall:
            v_kt = min(v_thin_most, 1.0 / v_kx_x, 1.0 / v_kx)
            t.put(182, v_kt)
        elif v_kn < 1.0:
            v_kt = min(v_thin_most, 1.0 / v_kn)
            t.put(183, v_kt)
        else:
            v_kt = 1.0
            t.put(184, v_kt)
        v_kd: float
        if v_drilling:
            v_kd = 1.0
            t.put(185, v_kd)
        else:
            v_kd = chart(tables.derating, v_ap / v_D, 1)
            t.put(186, v_kd)
        v_fz_least: float
        if v_De < v_D_split:
            v_fz_least = data.rubbing.feed_per_tooth_small.value
            t.put(187, v_fz_least)
        else:
            v_fz_least = v_fz_large
            t.put(188, v_fz_least)
        v_hm_least: float = v_hm_large * v_fz_least / v_fz_large
        t.put(189, v_hm_least)
        v_fz_min: float
        if v_finishing or v_drilling:
            v_fz_min = v_fz_least
            t.put(190, v_fz_min)
        else:
            v_fz_min = max(v_fz_least, v_hm_least * max(acos(1.0 - 2.0 * v_x) / (2.0 * v_x), pi / 2.0))
            t.put(191, v_fz_min)
        return Meet(v_ap, v_wall, v_aside, v_low, v_De, v_ae, v_x, v_turn, v_xw, v_e, v_S_slot, v_S, v_kx, v_km, v_teeth, v_t, v_kx_x, v_kn, v_kt, v_kd, v_fz_least, v_hm_least, v_fz_min)

    # Loads of a chip

    def b_push(v_p: Meet, v_ap: float, v_fz: float) -> Push:
        v_h: float = v_fz * v_p.kx
        t.put(192, v_h)
        v_h_e: float = min(max(v_h * v_p.e, v_h_low), v_h_high)
        t.put(193, v_h_e)
        v_kc: float = v_Af * v_h_e ** -v_m
        t.put(194, v_kc)
        v_edge: float
        if v_drilling:
            v_edge = v_D / 2.0
            t.put(195, v_edge)
        else:
            v_edge = v_ap
            t.put(196, v_edge)
        v_Ft: float = v_kc * v_edge * v_h
        t.put(197, v_Ft)
        v_Fs: float = v_ks * v_Ft * v_p.t
        t.put(198, v_Fs)
        v_Fa: float = max(0.0, v_Ft * tan(radians(v_helix)) * v_p.t)
        t.put(199, v_Fa)
        v_d: float
        if v_drilling:
            v_d = 0.0
            t.put(200, v_d)
        else:
            v_d = v_Fs * v_c
            t.put(201, v_d)
        v_sb: float
        if v_drilling:
            v_sb = 0.0
            t.put(202, v_sb)
        else:
            v_sb = v_Fs * v_cs
            t.put(203, v_sb)
        return Push(v_p, v_ap, v_fz, v_h, v_h_e, v_kc, v_edge, v_Ft, v_Fs, v_Fa, v_d, v_sb)

    def b_power(v_p: Meet, v_fz: float, v_n: float) -> Power:
        v_hm_e: float = min(max(v_fz * v_p.km * v_p.e, v_h_low), v_h_high)
        t.put(204, v_hm_e)
        v_kcm: float = v_Ap * v_hm_e ** -v_m
        t.put(205, v_kcm)
        v_Q: float = v_p.S * v_fz * v_z * v_n
        t.put(206, v_Q)
        v_P: float = v_kcm * v_Q / v_k60
        t.put(207, v_P)
        return Power(v_p, v_fz, v_n, v_hm_e, v_kcm, v_Q, v_P)

    def b_by_force(v_p: Meet, v_ap: float, v_F: float, v_n: float) -> ByForce:
        v_v: float = v_F * v_p.e / (v_ks * v_p.t * v_ap * v_Af)
        t.put(208, v_v)
        v_h_0: float = v_v ** (1.0 / (1.0 - v_m))
        t.put(209, v_h_0)
        v_h: float
        if v_h_0 < v_h_low:
            v_h = v_v * v_h_low ** v_m
            t.put(210, v_h)
        elif v_h_0 > v_h_high:
            v_h = v_v * v_h_high ** v_m
            t.put(211, v_h)
        else:
            v_h = v_h_0
            t.put(212, v_h)
        v_vf: float = v_h / (v_p.e * v_p.kx) * v_z * v_n
        t.put(213, v_vf)
        return ByForce(v_p, v_ap, v_F, v_n, v_v, v_h_0, v_h, v_vf)

    def b_by_power(v_p: Meet, v_n: float) -> ByPower:
        v_v: float = v_P_max * v_k60 * v_p.km * v_p.e / (v_p.S * v_z * v_n * v_Ap)
        t.put(214, v_v)
        v_h_0: float = v_v ** (1.0 / (1.0 - v_m))
        t.put(215, v_h_0)
        v_h: float
        if v_h_0 < v_h_low:
            v_h = v_v * v_h_low ** v_m
            t.put(216, v_h)
        elif v_h_0 > v_h_high:
            v_h = v_v * v_h_high ** v_m
            t.put(217, v_h)
        else:
            v_h = v_h_0
            t.put(218, v_h)
        v_vf: float = v_h / (v_p.e * v_p.km) * v_z * v_n
        t.put(219, v_vf)
        return ByPower(v_p, v_n, v_v, v_h_0, v_h, v_vf)
    v_D_vee: float = 3.0
    t.put(220, v_D_vee)
    v_D_chip: float
    if v_shape == 'v-bit':
        v_D_chip = min(v_D, v_D_vee)
        t.put(221, v_D_chip)
    elif v_shape == 'bowl' and v_RE > 0.0:
        v_D_chip = v_RE
        t.put(222, v_D_chip)
    else:
        v_D_chip = v_D
        t.put(223, v_D_chip)
    v_D_small: float = least(tables.starts, 0)
    t.put(224, v_D_small)
    v_k_small_D: float = min(1.0, v_D_chip / v_D_small)
    t.put(225, v_k_small_D)
    v_fz_low_hard: float = chart(tables.starts, v_D_chip, 1)
    t.put(226, v_fz_low_hard)
    v_fz_top_hard: float = chart(tables.starts, v_D_chip, 2)
    t.put(227, v_fz_top_hard)
    v_fz_low: float = v_fz_low_hard * v_k_small_D * v_k_mat
    t.put(228, v_fz_low)
    v_fz_top: float = v_fz_top_hard * v_k_small_D * v_k_mat
    t.put(229, v_fz_top)

    # The chip and the speed that depths are set by
    v_vf_cap: float
    if v_drilling:
        v_vf_cap = v_vz_max
        t.put(230, v_vf_cap)
    else:
        v_vf_cap = v_vf_max
        t.put(231, v_vf_cap)
    v_n_common: float = 18000.0
    t.put(232, v_n_common)
    v_v_rim: float = 12.0
    t.put(233, v_v_rim)
    v_k_rim: float = 60000.0
    t.put(234, v_k_rim)
    v_n_rim: float = v_k_rim * v_v_rim / (pi * v_D)
    t.put(235, v_n_rim)
    v_n_ref: float
    if v_n_mark is not None:
        v_n_ref = min(v_n_common, v_n_rim, v_n_top, v_n_mark)
        t.put(236, v_n_ref)
    else:
        v_n_ref = min(v_n_common, v_n_rim, v_n_top)
        t.put(237, v_n_ref)

    def b_pushed(v_ap: float) -> Pushed:
        t.enter(238, v_ap, v_along_wall, v_s_wide)
        x_238 = b_meet(v_ap, v_along_wall, v_s_wide)
        t.leave()
        v_p: Meet = x_238
        t.put(238, v_p)
        v_fz_ref: float = v_fz_low * v_p.kd
        t.put(239, v_fz_ref)
        v_fz: float = max(v_fz_ref, v_p.fz_min)
        t.put(240, v_fz)
        t.enter(241, v_p, v_ap, v_fz)
        x_241 = b_push(v_p, v_ap, v_fz)
        t.leave()
        v_f: Push = x_241
        t.put(241, v_f)
        v_Fs: float = v_f.Fs
        t.put(242, v_Fs)
        return Pushed(v_ap, v_p, v_fz_ref, v_fz, v_f, v_Fs)

    def b_powered(v_ap: float) -> Powered:
        t.enter(243, v_ap, v_along_wall, v_s_wide)
        x_243 = b_meet(v_ap, v_along_wall, v_s_wide)
        t.leave()
        v_p: Meet = x_243
        t.put(243, v_p)
        v_fz_ref: float = v_fz_low * v_p.kd
        t.put(244, v_fz_ref)
        v_fz: float = min(max(v_fz_ref, v_p.fz_min), v_vf_cap / (v_z * v_n_ref))
        t.put(245, v_fz)
        t.enter(246, v_p, v_fz, v_n_ref)
        x_246 = b_power(v_p, v_fz, v_n_ref)
        t.leave()
        v_o: Power = x_246
        t.put(246, v_o)
        v_P: float = v_o.P
        t.put(247, v_P)
        return Powered(v_ap, v_p, v_fz_ref, v_fz, v_o, v_P)

    # The way down that the cut offers
    v_a_usual: float = data.plunge.ramp_angle_typical.value
    t.put(248, v_a_usual)
    v_a_steep: float = data.plunge.ramp_angle.high
    t.put(249, v_a_steep)
    v_a_helix: float = data.plunge.helix_angle.high
    t.put(250, v_a_helix)
    v_q_helix_low: float = data.plunge.helix_path.low
    t.put(251, v_q_helix_low)
    v_q_helix: float = data.plunge.helix_path.high
    t.put(252, v_q_helix)
    v_D_helix: float | None
    if v_W is not None:
        v_D_helix = min(v_W - v_D, v_q_helix * v_D)
        t.put(253, v_D_helix)
    else:
        v_D_helix = None
    v_outside = not v_drilling and (v_open_entry or v_work in ('face', 'surfacing', 'chamfer',))
    t.put(254, v_outside)
    v_helix_fits = v_D_helix is not None and v_D_helix >= v_q_helix_low * v_D
    t.put(255, v_helix_fits)
    v_must_ramp = not (v_drilling or v_outside or v_centre or v_helix_fits)
    t.put(256, v_must_ramp)

    # What bounds the depth of one pass
    v_q_peck: float = data.plunge.peck_depth.high
    t.put(257, v_q_peck)
    v_q_ap_strong: float
    if v_F_max <= 600.0:
        v_q_ap_strong = 0.8
        t.put(258, v_q_ap_strong)
    else:
        v_q_ap_strong = 1.0
        t.put(259, v_q_ap_strong)
    v_q_ap: float
    if v_F_max <= 20.0:
        v_q_ap = 0.2
        t.put(260, v_q_ap)
    elif v_F_max <= 200.0:
        v_q_ap = 0.5
        t.put(261, v_q_ap)
    else:
        v_q_ap = v_q_ap_strong
        t.put(262, v_q_ap)
    v_q_wall: float = 2.0
    t.put(263, v_q_wall)
    v_q_skim: float = 0.1
    t.put(264, v_q_skim)
    v_kD: float
    if v_along_wall:
        v_kD = v_q_wall
        t.put(265, v_kD)
    elif v_shape == 'surfacing':
        v_kD = v_q_skim * v_q_ap
        t.put(266, v_kD)
    else:
        v_kD = v_q_ap
        t.put(267, v_kD)
    v_D_wide: float = 12.7
    t.put(268, v_D_wide)
    v_D_ap: float
    if v_shape == 'surfacing':
        v_D_ap = v_D
        t.put(269, v_D_ap)
    elif v_shape == 'bowl' and v_RE > 0.0:
        v_D_ap = v_RE
        t.put(270, v_D_ap)
    else:
        v_D_ap = min(v_D, v_D_wide)
        t.put(271, v_D_ap)
    v_ap_0: float = min(v_H, v_APMX, v_kD * v_D_ap)
    t.put(272, v_ap_0)
    v_F_bend: float = v_d_max / v_c
    t.put(273, v_F_bend)
    v_F_break: float | None
    if v_s_max is not None:
        v_F_break = v_s_max / v_cs
        t.put(274, v_F_break)
    else:
        v_F_break = None
    v_first: Pushed | None
    if not v_drilling:
        t.enter(275, v_ap_0)
        x_275 = b_pushed(v_ap_0)
        t.leave()
        v_first = x_275
        t.put(275, v_first)
    else:
        v_first = None
    v_first_P: Powered | None
    if not v_drilling:
        t.enter(276, v_ap_0)
        x_276 = b_powered(v_ap_0)
        t.leave()
        v_first_P = x_276
        t.put(276, v_first_P)
    else:
        v_first_P = None
    h_ap: list[Bound] = []
    y_277 = v_H
    t.put(277, y_277)
    h_ap.append((y_277, R277))
    y_278 = v_APMX
    t.put(278, y_278)
    h_ap.append((y_278, R278))
    if v_drilling:
        y_279 = v_q_peck * v_D
        t.put(279, y_279)
        h_ap.append((y_279, R279))
    if not v_drilling:
        y_280 = v_kD * v_D_ap
        t.put(280, y_280)
        h_ap.append((y_280, R280))
    if v_first is not None and v_first.Fs > v_F_max:
        t.pause()
        x_281 = largest(v_ap_0, lambda w_ap: b_pushed(w_ap).Fs <= v_F_max)
        t.resume()
        t.enter(281, x_281)
        b_pushed(x_281)
        t.leave()
        y_281 = x_281
        t.put(281, y_281)
        h_ap.append((y_281, R281))
    if v_first_P is not None and v_first_P.P > v_P_max:
        t.pause()
        x_282 = largest(v_ap_0, lambda w_ap: b_powered(w_ap).P <= v_P_max)
        t.resume()
        t.enter(282, x_282)
        b_powered(x_282)
        t.leave()
        y_282 = x_282
        t.put(282, y_282)
        h_ap.append((y_282, R282))
    if v_first is not None and v_first.Fs > v_F_bend:
        t.pause()
        x_283 = largest(v_ap_0, lambda w_ap: b_pushed(w_ap).Fs <= v_F_bend)
        t.resume()
        t.enter(283, x_283)
        b_pushed(x_283)
        t.leave()
        y_283 = x_283
        t.put(283, y_283)
        h_ap.append((y_283, R283))
    if v_first is not None and v_F_kept is not None and v_first.Fs > v_F_kept:
        t.pause()
        x_284 = largest(v_ap_0, lambda w_ap: b_pushed(w_ap).Fs <= v_F_kept)
        t.resume()
        t.enter(284, x_284)
        b_pushed(x_284)
        t.leave()
        y_284 = x_284
        t.put(284, y_284)
        h_ap.append((y_284, R284))
    if v_first is not None and v_F_break is not None and v_first.Fs > v_F_break:
        t.pause()
        x_285 = largest(v_ap_0, lambda w_ap: b_pushed(w_ap).Fs <= v_F_break)
        t.resume()
        t.enter(285, x_285)
        b_pushed(x_285)
        t.leave()
        y_285 = x_285
        t.put(285, y_285)
        h_ap.append((y_285, R285))
    if v_must_ramp and v_way is not None:
        y_286 = v_way * tan(radians(v_a_steep))
        t.put(286, y_286)
        h_ap.append((y_286, R286))
    u_ap_high = min(h_ap, key=value_of)
    v_ap_high = u_ap_high[0]
    v_ap_reason = u_ap_high[1].words
    v_ap_load = u_ap_high[1].load
    l_ap: list[Bound] = []
    y_287 = 0.0
    t.put(287, y_287)
    l_ap.append((y_287, R287))
    u_ap_low = max(l_ap, key=value_of)
    v_ap_low = u_ap_low[0]
    v_ap_low_reason = u_ap_low[1].words
    v_ap_least: float = 0.1
    t.put(288, v_ap_least)
    c_ap: list[Bound] = []
    y_289 = min(v_ap_least, v_H)
    t.put(289, y_289)
    c_ap.append((y_289, R289))
    k_ap = max([*l_ap, *c_ap], key=value_of)
    if k_ap[0] > u_ap_high[0] * 1.000000001:
        return crossing(msg('No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.', quantity=term('depth per pass'), shape=worded(v_shape), D=figures(v_D, 'mm'), machine_name=worded(v_machine_name), low=figures(k_ap[0], 'mm'), low_reason=term(k_ap[1].words), high=figures(u_ap_high[0], 'mm'), high_reason=term(u_ap_high[1].words), gap=term('no value satisfies both')), k_ap, u_ap_high, HELPS)

    # Passes
    v_hair_N: float = 0.000001
    t.put(290, v_hair_N)
    v_ap_m: float
    if v_ap_own is not None:
        v_ap_m = min(v_ap_own, v_H)
        t.put(291, v_ap_m)
    else:
        v_ap_m = v_ap_high
        t.put(292, v_ap_m)
    v_N: float = max(1.0, -float(floor(v_hair_N - v_H / v_ap_m)))
    t.put(293, v_N)
    v_ap: float = v_H / v_N
    t.put(294, v_ap)
    v_ap_why = msg('{N} equal passes', N=figures(v_N, ''))
    t.put(295, v_ap_why)
    v_ap_deep: float = max(v_ap_high, v_ap)
    t.put(296, v_ap_deep)
    t.enter(297, v_ap_deep, v_along_wall, v_s_wide)
    x_297 = b_meet(v_ap_deep, v_along_wall, v_s_wide)
    t.leave()
    v_deep: Meet = x_297
    t.put(297, v_deep)
    t.enter(298, v_ap_deep, v_along_wall, v_s_thin)
    x_298 = b_meet(v_ap_deep, v_along_wall, v_s_thin)
    t.leave()
    v_thin: Meet = x_298
    t.put(298, v_thin)
    v_fz_floor: float = max(v_thin.fz_min, v_deep.fz_min)
    t.put(299, v_fz_floor)
    v_n_dial_low: float | None
    if v_dialled:
        v_n_dial_low = least(machine.dial, 1)
        t.put(300, v_n_dial_low)
    else:
        v_n_dial_low = None
    v_n_dial_high: float | None
    if v_dialled:
        v_n_dial_high = most(machine.dial, 1)
        t.put(301, v_n_dial_high)
    else:
        v_n_dial_high = None
    v_D_charts: float = most(tables.speeds, 0)
    t.put(302, v_D_charts)
    v_n_D: float | None
    if v_D <= v_D_charts:
        v_n_D = step(tables.speeds, v_D, 1)
        t.put(303, v_n_D)
    else:
        v_n_D = None
    v_n_trial: float = 1000.0
    t.put(304, v_n_trial)
    t.enter(305, v_deep, v_fz_floor, v_n_trial)
    x_305 = b_power(v_deep, v_fz_floor, v_n_trial)
    t.leave()
    v_thinnest: Power = x_305
    t.put(305, v_thinnest)
    l_n: list[Bound] = []
    if v_n_dial_low is not None:
        y_306 = max(v_n_bottom, v_n_dial_low)
        t.put(306, y_306)
        l_n.append((y_306, R306))
    else:
        y_307 = v_n_bottom
        t.put(307, y_307)
        l_n.append((y_307, R307))
    u_n_low = max(l_n, key=value_of)
    v_n_low = u_n_low[0]
    v_n_low_reason = u_n_low[1].words
    h_n: list[Bound] = []
    if v_n_dial_high is not None:
        y_308 = min(v_n_top, v_n_dial_high)
        t.put(308, y_308)
        h_n.append((y_308, R308))
    else:
        y_309 = v_n_top
        t.put(309, y_309)
        h_n.append((y_309, R309))
    if v_n_mark is not None:
        y_310 = v_n_mark
        t.put(310, y_310)
        h_n.append((y_310, R310))
    if v_n_D is not None:
        y_311 = v_n_D
        t.put(311, y_311)
        h_n.append((y_311, R311))
    y_312 = v_vf_cap / (v_z * v_fz_floor)
    t.put(312, y_312)
    h_n.append((y_312, R312))
    if not v_drilling:
        y_313 = v_P_max * v_n_trial / v_thinnest.P
        t.put(313, y_313)
        h_n.append((y_313, R313))
    u_n_high = min(h_n, key=value_of)
    v_n_high = u_n_high[0]
    v_n_reason = u_n_high[1].words
    v_n_load = u_n_high[1].load
    k_n = u_n_low
    if k_n[0] > u_n_high[0]:
        return crossing(msg('No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.', quantity=term('speed'), shape=worded(v_shape), D=figures(v_D, 'mm'), machine_name=worded(v_machine_name), low=figures(k_n[0], 'min-1'), low_reason=term(k_n[1].words), high=figures(u_n_high[0], 'min-1'), high_reason=term(u_n_high[1].words), gap=term('no value satisfies both')), k_n, u_n_high, HELPS)
    v_n_drill: float = 6000.0
    t.put(314, v_n_drill)
    v_n_usual: float
    if v_shape == 'drill':
        v_n_usual = v_n_drill
        t.put(315, v_n_usual)
    else:
        v_n_usual = min(v_n_rim, v_n_common)
        t.put(316, v_n_usual)
    v_usual_why: Words
    if v_shape == 'drill':
        v_usual_why = 'speed of boring heads'
        t.put(317, v_usual_why)
    elif v_n_rim < v_n_common:
        v_usual_why = msg('rim speed {v_rim}', v_rim=figures(v_v_rim, 'm/s'))
        t.put(318, v_usual_why)
    else:
        v_usual_why = 'usual speed'
        t.put(319, v_usual_why)
    v_q_floor: float = 1.25
    t.put(320, v_q_floor)
    v_fz_safe: float = v_q_floor * v_fz_floor
    t.put(321, v_fz_safe)
    v_q_half: float = 0.65
    t.put(322, v_q_half)
    v_q_more: float = 0.75
    t.put(323, v_q_more)
    v_vf_use: float = max(v_q_half * v_vf_cap, min(v_z * v_fz_safe * max(v_n_low, min(v_n_usual, v_n_high)), v_q_more * v_vf_cap))
    t.put(324, v_vf_use)
    v_n_fast: float = v_vf_use / (v_z * v_fz_safe)
    t.put(325, v_n_fast)
    v_n_pick: float = min(v_n_usual, v_n_fast)
    t.put(326, v_n_pick)
    v_n_in: float = min(max(v_n_pick, v_n_low), v_n_high)
    t.put(327, v_n_in)
    v_n_step: float = 100.0
    t.put(328, v_n_step)
    v_hair_step: float = 0.000000001
    t.put(329, v_hair_step)
    v_n_even: float = max(v_n_low, float(floor(v_n_in / v_n_step + v_hair_step)) * v_n_step)
    t.put(330, v_n_even)
    v_n_dial: float | None
    if v_dialled:
        v_n_dial = nearest(machine.dial, 1, v_n_even, v_n_low, v_n_high)
        t.put(331, v_n_dial)
    else:
        v_n_dial = None
    if v_dialled and v_n_dial is None:
        return crossing(msg('No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.', quantity=term('speed'), shape=worded(v_shape), D=figures(v_D, 'mm'), machine_name=worded(v_machine_name), low=figures(u_n_low[0], 'min-1'), low_reason=term(u_n_low[1].words), high=figures(u_n_high[0], 'min-1'), high_reason=term(u_n_high[1].words), gap=term('no dial position lies between')), u_n_low, u_n_high, HELPS)
    v_n_0: float
    if v_n_dial is not None:
        v_n_0 = v_n_dial
        t.put(332, v_n_0)
    else:
        v_n_0 = v_n_even
        t.put(333, v_n_0)
    v_n: float
    if v_n_own is not None:
        v_n = v_n_own
        t.put(334, v_n)
    else:
        v_n = v_n_0
        t.put(335, v_n)
    v_dial = named(machine.dial, v_n)
    t.put(336, v_dial)
    v_pick_why: Words
    if v_n_pick < v_n_low * (1.0 - v_hair_step):
        v_pick_why = 'lowest allowed'
        t.put(337, v_pick_why)
    elif v_n_pick > v_n_high * (1.0 + v_hair_step):
        v_pick_why = 'highest allowed'
        t.put(338, v_pick_why)
    elif v_n_fast < v_n_usual * (1.0 - v_hair_step):
        v_pick_why = 'keeps the chip above the rubbing floor'
        t.put(339, v_pick_why)
    else:
        v_pick_why = v_usual_why
        t.put(340, v_pick_why)
    v_n_why: Words
    if v_dial is not None:
        v_n_why = msg('{pick_why}; dial {dial}', pick_why=worded(v_pick_why), dial=worded(v_dial))
        t.put(341, v_n_why)
    else:
        v_n_why = v_pick_why
        t.put(342, v_n_why)
    v_n_most: float = max(v_n_high, v_n)
    t.put(343, v_n_most)

    # Thrust of a cutter that goes straight down
    v_q_thrust: float = 0.5
    t.put(344, v_q_thrust)
    v_k_thrust: float
    if v_shape == 'drill':
        v_k_thrust = 0.5
        t.put(345, v_k_thrust)
    elif v_shape in ('straight', 'down-cut',):
        v_k_thrust = 1.3
        t.put(346, v_k_thrust)
    else:
        v_k_thrust = 1.0
        t.put(347, v_k_thrust)
    v_A_thrust: float = v_kc_ref * v_h_ref ** v_m * (v_rho / v_rho_ref) ** v_nd * v_k_thrust
    t.put(348, v_A_thrust)
    v_D_thrust: float
    if v_vee:
        v_D_thrust = (v_w + v_deep.De) / 2.0
        t.put(349, v_D_thrust)
    elif v_rounded:
        v_D_thrust = (v_b + v_deep.De) / 2.0
        t.put(350, v_D_thrust)
    else:
        v_D_thrust = v_D
        t.put(351, v_D_thrust)
    v_v_thrust: float = v_q_thrust * v_F_max / (v_A_thrust * v_D_thrust * v_z)
    t.put(352, v_v_thrust)
    v_h_thrust_0: float = v_v_thrust ** (1.0 / (1.0 - v_m))
    t.put(353, v_h_thrust_0)
    v_h_thrust: float
    if v_h_thrust_0 < v_h_low:
        v_h_thrust = v_v_thrust * v_h_low ** v_m
        t.put(354, v_h_thrust)
    elif v_h_thrust_0 > v_h_high:
        v_h_thrust = v_v_thrust * v_h_high ** v_m
        t.put(355, v_h_thrust)
    else:
        v_h_thrust = v_h_thrust_0
        t.put(356, v_h_thrust)
    v_vz_thrust: float = v_h_thrust * v_z * v_n
    t.put(357, v_vz_thrust)

    # Limits
    l_vf: list[Bound] = []
    y_358 = v_fz_floor * v_z * v_n
    t.put(358, y_358)
    l_vf.append((y_358, R358))
    u_vf_low = max(l_vf, key=value_of)
    v_vf_low = u_vf_low[0]
    v_vf_low_reason = u_vf_low[1].words
    h_vf: list[Bound] = []
    if v_drilling:
        y_359 = v_vz_max
        t.put(359, y_359)
        h_vf.append((y_359, R359))
    if v_drilling:
        y_360 = v_vz_thrust
        t.put(360, y_360)
        h_vf.append((y_360, R360))
    if not v_drilling:
        y_361 = v_vf_max
        t.put(361, y_361)
        h_vf.append((y_361, R361))
    y_362 = v_fz_top * v_deep.kd * v_deep.kt * v_z * v_n
    t.put(362, y_362)
    h_vf.append((y_362, R362))
    if not v_drilling:
        t.enter(363, v_deep, v_ap_deep, v_F_max, v_n)
        x_363 = b_by_force(v_deep, v_ap_deep, v_F_max, v_n).vf
        t.leave()
        y_363 = x_363
        t.put(363, y_363)
        h_vf.append((y_363, R363))
    t.enter(364, v_deep, v_n_most)
    x_364 = b_by_power(v_deep, v_n_most).vf
    t.leave()
    y_364 = x_364
    t.put(364, y_364)
    h_vf.append((y_364, R364))
    if not v_drilling:
        t.enter(365, v_deep, v_ap_deep, v_F_bend, v_n)
        x_365 = b_by_force(v_deep, v_ap_deep, v_F_bend, v_n).vf
        t.leave()
        y_365 = x_365
        t.put(365, y_365)
        h_vf.append((y_365, R365))
    if v_F_kept is not None and not v_drilling:
        t.enter(366, v_deep, v_ap_deep, v_F_kept, v_n)
        x_366 = b_by_force(v_deep, v_ap_deep, v_F_kept, v_n).vf
        t.leave()
        y_366 = x_366
        t.put(366, y_366)
        h_vf.append((y_366, R366))
    if v_F_break is not None and not v_drilling:
        t.enter(367, v_deep, v_ap_deep, v_F_break, v_n)
        x_367 = b_by_force(v_deep, v_ap_deep, v_F_break, v_n).vf
        t.leave()
        y_367 = x_367
        t.put(367, y_367)
        h_vf.append((y_367, R367))
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
        t.put(368, v_q_class)
    elif v_light:
        v_q_class = 0.35
        t.put(369, v_q_class)
    elif v_rigid:
        v_q_class = 0.55
        t.put(370, v_q_class)
    else:
        v_q_class = 0.45
        t.put(371, v_q_class)
    v_q_kind: float
    if v_ball_like:
        v_q_kind = 0.7
        t.put(372, v_q_kind)
    else:
        v_q_kind = 1.0
        t.put(373, v_q_kind)
    v_fz_range: float = v_q_class * v_q_kind * v_fz_top * v_deep.kd * v_deep.kt
    t.put(374, v_fz_range)
    v_fz_0: float = max(v_fz_range, v_fz_safe)
    t.put(375, v_fz_0)
    v_range_why: Words
    if v_fz_range < v_fz_safe:
        v_range_why = 'just above the rubbing floor'
        t.put(376, v_range_why)
    else:
        v_range_why = 'starting chip of the class'
        t.put(377, v_range_why)
    v_q_load: float = 0.8
    t.put(378, v_q_load)
    v_vf_chip: float = v_fz_0 * v_z * v_n
    t.put(379, v_vf_chip)
    v_vf_top: float
    if v_vf_load:
        v_vf_top = v_q_load * v_vf_high
        t.put(380, v_vf_top)
    else:
        v_vf_top = v_vf_high
        t.put(381, v_vf_top)
    v_vf_pick: float = min(v_vf_chip, v_vf_use, v_vf_top)
    t.put(382, v_vf_pick)
    v_vf_step: float = 10.0
    t.put(383, v_vf_step)
    v_vf_0: float = max(v_vf_low, float(floor(max(v_vf_pick, v_vf_low) / v_vf_step + v_hair_step)) * v_vf_step)
    t.put(384, v_vf_0)
    v_vf: float
    if v_vf_own is not None:
        v_vf = v_vf_own
        t.put(385, v_vf)
    else:
        v_vf = v_vf_0
        t.put(386, v_vf)
    v_vf_why: Words
    if v_vf_pick <= v_vf_low:
        v_vf_why = v_vf_low_reason
        t.put(387, v_vf_why)
    elif v_vf_top <= min(v_vf_chip, v_vf_use):
        v_vf_why = v_vf_reason
        t.put(388, v_vf_why)
    elif v_vf_chip <= v_vf_use:
        v_vf_why = v_range_why
        t.put(389, v_vf_why)
    else:
        v_vf_why = "share of the machine's feed"
        t.put(390, v_vf_why)
    v_n_follow: float = v_n * v_vf_high / v_vf
    t.put(391, v_n_follow)

    # Plunge
    v_q_vz_low: float = data.plunge.feed_ratio.low
    t.put(392, v_q_vz_low)
    v_q_vz: float = data.plunge.feed_ratio.high
    t.put(393, v_q_vz)
    v_q_vz_0: float = 0.4
    t.put(394, v_q_vz_0)
    l_vz: list[Bound] = []
    if not v_drilling:
        y_395 = min(v_q_vz_low * v_vf, v_q_vz_low / v_q_vz * min(v_vz_max, v_vz_thrust))
        t.put(395, y_395)
        l_vz.append((y_395, R395))
    u_vz_low = max(l_vz, key=value_of, default=None)
    v_vz_low = None if u_vz_low is None else u_vz_low[0]
    v_vz_low_reason = None if u_vz_low is None else u_vz_low[1].words
    h_vz: list[Bound] = []
    if not v_drilling:
        y_396 = v_q_vz * v_vf
        t.put(396, y_396)
        h_vz.append((y_396, R396))
    if not v_drilling:
        y_397 = v_vz_max
        t.put(397, y_397)
        h_vz.append((y_397, R397))
    if not v_drilling:
        y_398 = v_vz_thrust
        t.put(398, y_398)
        h_vz.append((y_398, R398))
    u_vz_high = min(h_vz, key=value_of, default=None)
    v_vz_high = None if u_vz_high is None else u_vz_high[0]
    v_vz_reason = None if u_vz_high is None else u_vz_high[1].words
    v_vz_load = None if u_vz_high is None else u_vz_high[1].load
    k_vz = u_vz_low
    if k_vz is not None and u_vz_high is not None and k_vz[0] > u_vz_high[0]:
        return crossing(msg('No {quantity} for the {shape} of {D} on {machine_name}: at least {low} ({low_reason}) and at most {high} ({high_reason}); {gap}.', quantity=term('plunge'), shape=worded(v_shape), D=figures(v_D, 'mm'), machine_name=worded(v_machine_name), low=figures(k_vz[0], 'mm/min'), low_reason=term(k_vz[1].words), high=figures(u_vz_high[0], 'mm/min'), high_reason=term(u_vz_high[1].words), gap=term('no value satisfies both')), k_vz, u_vz_high, HELPS)
    v_vz_step: float = 10.0
    t.put(399, v_vz_step)
    v_vz_pick: float | None
    if v_vz_high is not None:
        v_vz_pick = min(v_q_vz_0 * v_vf, v_q_load * v_vz_high)
        t.put(400, v_vz_pick)
    else:
        v_vz_pick = None
    v_vz_0: float
    if v_vz_pick is not None and v_vz_low is not None:
        v_vz_0 = max(v_vz_low, float(floor(v_vz_pick / v_vz_step + v_hair_step)) * v_vz_step)
        t.put(401, v_vz_0)
    else:
        v_vz_0 = v_vf
        t.put(402, v_vz_0)
    v_vz: float
    if v_vz_own is not None and not v_drilling:
        v_vz = v_vz_own
        t.put(403, v_vz)
    else:
        v_vz = v_vz_0
        t.put(404, v_vz)
    v_vz_why: Words | None
    if v_vz_pick is not None and v_vz_pick < v_q_vz_0 * v_vf:
        v_vz_why = v_vz_reason
        t.put(405, v_vz_why)
    else:
        v_vz_why = 'two fifths of the feed'
        t.put(406, v_vz_why)

    # How the cutter goes down
    v_q_whole: float = data.plunge.single_peck.value
    t.put(407, v_q_whole)
    v_q_ramp: float = data.plunge.ramp_feed_over_feed_times_flutes.value
    t.put(408, v_q_ramp)
    v_Lr_usual: float = v_ap / tan(radians(v_a_usual))
    t.put(409, v_Lr_usual)
    v_Lr_steep: float = v_ap / tan(radians(v_a_steep))
    t.put(410, v_Lr_steep)
    v_pecks = v_drilling and v_H > v_q_whole * v_D
    t.put(411, v_pecks)
    v_q_straight: float
    if v_light:
        v_q_straight = 0.5
        t.put(412, v_q_straight)
    else:
        v_q_straight = 1.0
        t.put(413, v_q_straight)
    v_thrust_bears = v_vz_thrust >= v_q_vz_low * v_vf
    t.put(414, v_thrust_bears)
    v_straight = v_drilling or v_centre and v_thrust_bears and (v_ap <= v_q_straight * v_D or v_shape == 'v-bit')
    t.put(415, v_straight)
    v_ramps = v_way is None or v_way + v_hair >= v_Lr_steep
    t.put(416, v_ramps)
    v_sloping: Words | None
    if v_ramps:
        v_sloping = 'ramp'
        t.put(417, v_sloping)
    elif v_helix_fits:
        v_sloping = 'helix'
        t.put(418, v_sloping)
    elif v_centre:
        v_sloping = 'straight plunge'
        t.put(419, v_sloping)
    else:
        v_sloping = None
    v_manner: Words | None
    if v_pecks:
        v_manner = 'peck'
        t.put(420, v_manner)
    elif v_outside:
        v_manner = 'from outside'
        t.put(421, v_manner)
    elif v_straight:
        v_manner = 'straight plunge'
        t.put(422, v_manner)
    else:
        v_manner = v_sloping
        t.put(423, v_manner)
    v_way_has: float
    if v_way is not None:
        v_way_has = v_way
        t.put(424, v_way_has)
    else:
        v_way_has = 0.0
        t.put(425, v_way_has)
    v_W_helix: float = v_D * (1.0 + v_q_helix_low)
    t.put(426, v_W_helix)
    stops = []
    if v_manner is None:
        stops.append(Told('ENTRY', msg('The {shape} of {D} cannot go down here: a ramp of {a_steep} needs {Lr_steep} of travel for a pass of {ap}, the cut has {way_has}, and a helix needs a width of {W_helix}.', shape=worded(v_shape), D=Quantity(v_D, 'mm', 4), a_steep=figures(v_a_steep, 'deg'), Lr_steep=Quantity(v_Lr_steep, 'mm', 1), ap=Quantity(v_ap, 'mm', 2), way_has=Quantity(v_way_has, 'mm', 1), W_helix=Quantity(v_W_helix, 'mm', 1)), ('use a centre-cutting cutter', 'drill a starting hole')))
    if stops:
        return Refusal(tuple(stops))
    v_a_in: float | None
    if v_manner == 'helix':
        v_a_in = min(v_a_usual, v_a_helix)
        t.put(427, v_a_in)
    elif v_manner == 'ramp' and (v_way is None or v_way + v_hair >= v_Lr_usual):
        v_a_in = v_a_usual
        t.put(428, v_a_in)
    elif v_manner == 'ramp':
        v_a_in = v_a_steep
        t.put(429, v_a_in)
    else:
        v_a_in = None
    v_Lr: float | None
    if v_a_in is not None:
        v_Lr = v_ap / tan(radians(v_a_in))
        t.put(430, v_Lr)
    else:
        v_Lr = None
    v_vr: float
    if v_a_in is not None:
        v_vr = min(v_vf * v_q_ramp / v_z, v_vz_max / sin(radians(v_a_in)))
        t.put(431, v_vr)
    else:
        v_vr = v_vz
        t.put(432, v_vr)
    v_D_path: float | None
    if v_manner == 'helix':
        v_D_path = v_D_helix
        t.put(433, v_D_path)
    else:
        v_D_path = None
    v_peck: float | None
    if v_manner == 'peck':
        v_peck = v_ap
        t.put(434, v_peck)
    else:
        v_peck = None

    # The chip and the loads at the start values
    t.enter(435, v_ap, v_along_wall, v_s_now)
    x_435 = b_meet(v_ap, v_along_wall, v_s_now)
    t.leave()
    v_at: Meet = x_435
    t.put(435, v_at)
    v_fz: float = v_vf / (v_z * v_n)
    t.put(436, v_fz)
    v_hm: float = v_fz * 2.0 * v_at.x / acos(1.0 - 2.0 * v_at.x)
    t.put(437, v_hm)
    v_h_top: float = v_fz * v_at.kx_x
    t.put(438, v_h_top)
    v_thinning: float = 1.0 / v_at.kx_x
    t.put(439, v_thinning)
    v_v_tip: float = pi * v_at.De * v_n / v_k_rim
    t.put(440, v_v_tip)
    t.enter(441, v_at, v_ap, v_fz)
    x_441 = b_push(v_at, v_ap, v_fz)
    t.leave()
    v_own: Push = x_441
    t.put(441, v_own)
    t.enter(442, v_at, v_fz, v_n)
    x_442 = b_power(v_at, v_fz, v_n)
    t.leave()
    v_own_P: Power = x_442
    t.put(442, v_own_P)
    v_fz_most: float = max(v_vf_high, v_vf) / (v_z * v_n)
    t.put(443, v_fz_most)
    t.enter(444, v_deep, v_ap_deep, v_fz_most)
    x_444 = b_push(v_deep, v_ap_deep, v_fz_most)
    t.leave()
    v_worst: Push = x_444
    t.put(444, v_worst)
    v_F_most: float = v_worst.Fs
    t.put(445, v_F_most)
    v_U_most: float = v_worst.Fa
    t.put(446, v_U_most)
    v_half_s: float | None
    if v_s is not None and v_shape == 'bowl' and v_slope == 0.0:
        v_half_s = max(0.0, v_s - v_b) / 2.0
        t.put(447, v_half_s)
    elif v_s is not None and v_ball_like:
        v_half_s = v_s / (2.0 * cos(radians(v_slope)))
        t.put(448, v_half_s)
    else:
        v_half_s = None
    v_hc: float | None
    if v_half_s is not None and v_half_s <= v_R:
        v_hc = v_R - sqrt(v_R ** 2.0 - v_half_s ** 2.0)
        t.put(449, v_hc)
    else:
        v_hc = None

    # Direction of cut
    v_F_belt: float = 63.0
    t.put(450, v_F_belt)
    v_gives = v_F_max < v_F_belt
    t.put(451, v_gives)
    v_D_climb: float = 50.0
    t.put(452, v_D_climb)
    v_a_climb: float = 3.0
    t.put(453, v_a_climb)
    v_light_pass = v_finishing and not v_panel and v_D <= v_D_climb and v_a <= v_a_climb
    t.put(454, v_light_pass)
    v_has_way = v_work in ('profile', 'pocket', 'dish', 'face', 'surfacing',)
    t.put(455, v_has_way)
    v_direction: Words | None
    if v_has_way and v_light_pass and not v_gives:
        v_direction = 'climb'
        t.put(456, v_direction)
    elif v_has_way:
        v_direction = 'conventional'
        t.put(457, v_direction)
    else:
        v_direction = None
    v_direction_why: Words | None
    if v_direction == 'climb':
        v_direction_why = 'a light climb pass tears the grain less'
        t.put(458, v_direction_why)
    elif v_direction == 'conventional' and v_gives:
        v_direction_why = 'a climb cut would pull the frame along'
        t.put(459, v_direction_why)
    elif v_direction == 'conventional':
        v_direction_why = 'a conventional cut is easier to control'
        t.put(460, v_direction_why)
    else:
        v_direction_why = None

    # What is risky
    v_hm_new: float = data.rubbing.edge_radius_new.high
    t.put(461, v_hm_new)
    v_fz_small: float = data.rubbing.feed_per_tooth_small.value
    t.put(462, v_fz_small)
    v_k_small: float
    if v_at.De < v_D_split:
        v_k_small = v_fz_small / v_fz_large
        t.put(463, v_k_small)
    else:
        v_k_small = 1.0
        t.put(464, v_k_small)
    v_h_seen: float = v_h_top * v_deep.kn
    t.put(465, v_h_seen)
    v_h_new: float = v_k_small * v_hm_new
    t.put(466, v_h_new)
    v_hm_burn: float = v_k_small * v_hm_large
    t.put(467, v_hm_burn)
    v_slack: float = 0.001
    t.put(468, v_slack)
    v_L_over: float
    if not v_headed:
        v_L_over = max(v_APMX / v_D, v_L / v_DMM)
        t.put(469, v_L_over)
    else:
        v_L_over = v_L / v_DMM
        t.put(470, v_L_over)
    v_L_sings: float = 5.0
    t.put(471, v_L_sings)
    v_grip_left: float = v_OAL - v_L
    t.put(472, v_grip_left)
    v_D_range_high: float = most(tables.starts, 0)
    t.put(473, v_D_range_high)
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
