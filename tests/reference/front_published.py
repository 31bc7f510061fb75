"""Published and exact values for the front, as data: source, tolerance and why."""

from __future__ import annotations

import numpy as np

# A published table of a planar double-wishbone loop (19 rows, six figures): lower pivot (0, 0) and
# arm 13, upper pivot (5, 7) and arm 8, upright 7. Lower-arm angle, upper-arm angle [degrees].
PLANAR_LOOP_LOWER = np.arange(0.0, 91.0, 5.0)
PLANAR_LOOP_UPPER = np.array(
    [
        *(0.0, 8.14157, 16.3816, 24.8218, 33.5778, 42.7897, 52.6316, 63.3125, 75.0545, 88.0132),
        *(102.111, 116.839, 131.266, 144.400, 155.625, 164.805, 172.123, 177.873, 182.348),
    ]
)
PLANAR_LOOP_CAMBER = {5.0: -0.2551, 10.0: -1.0417}  # four decimals

# Norton, Design of Machinery, ex. 4-1 (from memory of the source): ground 100, crank 40 at 40°,
# coupler 120, rocker 80; coupler's and rocker's angles from the ground link [degrees].
FOUR_BAR_OPEN = (20.2979, 57.3249)
FOUR_BAR_CROSSED = (-60.9780, -98.0050)

# A textbook question: wheelbase 280 cm, pivots 140 cm apart, outer wheel at 30°.
IDEAL_STEER_INNER = 39.0647
IDEAL_STEER_COT_INNER = 1.2320508

# Gillespie ch. 6 (from memory): 57.3·L/R for L = 100.6 in; R [ft] and angle [degrees], printed to
# two decimals.
ROAD_WHEEL_ANGLE = {500.0: 0.96, 200.0: 2.40, 100.0: 4.80, 50.0: 9.60}

# Gillespie ch. 5, example (from memory): tyre 1198 lb/in; suspension [lb/in], weight [lb], ride
# rate [lb/in], frequency [Hz], front and rear.
RIDE_TYRE = 1198.0
RIDE = ((143.0, 957.0, 127.75, 1.14), (100.0, 730.0, 92.3, 1.11))

# Rill & Arrieta Castro, Road Vehicle Dynamics, 2nd ed., ch. 5: input points [m, from the axle's
# height]. The outputs below were computed from them by two independent methods that agree to 1e-6;
# they are quoted to four decimals.
RILL_POINTS = {
    "wheel_centre": (0.0, 0.768, 0.0),
    "lower_rear": (-0.251, 0.320, -0.080),
    "lower_front": (0.148, 0.320, -0.094),
    "lower_ball": (0.013, 0.737, -0.145),
    "upper_rear": (-0.105, 0.435, 0.196),
    "upper_front": (0.122, 0.435, 0.230),
    "upper_ball": (-0.025, 0.680, 0.162),
    "tie_inner": (-0.150, 0.380, -0.038),
    "tie_outer": (-0.137, 0.690, -0.088),
}
RILL_CAMBER = 0.79995
RILL_RADIUS = 0.285
RILL_REST = {
    "kingpin_inclination": 10.5182,
    "caster": 7.0561,
    "scrub_radius": 1.0327,
    "mechanical_trail": 30.3256,
    "roll_centre_height": 86.01,
    "roll_centre_construction": 83.18,
}
RILL_TRAVEL = np.array([-80.0, -40.0, 0.0, 40.0, 80.0])
RILL_SWEEP = {
    "camber": (-1.5119, 0.0985, 0.7999, 0.9194, 0.5754),
    "toe": (-0.2893, -0.1163, 0.0, 0.0924, 0.1741),
    "caster": (4.2541, 5.6722, 7.0561, 8.4248, 9.7883),
}

# Turning about a fixed kingpin: caster 6°, inclination 9°, camber -1°, read at ±20° of heading;
# exact rotation of a rigid wheel, four decimals.
TURN_PLATE_CAMBER = (1.6084, -2.5044)
TURN_PLATE_CASTER = 6.0124

# Barton & Fieldhouse, Automotive Chassis Engineering, p. 174: sprung 1280 kg, 54/46 %, 0.6 g, roll
# centres 0.07 and 0.32 m, track 1.46 m; unsprung 140 kg at 0.280 m and 180 kg at 0.3 m; roll
# stiffness 28 650 N·m/rad, arm 0.365 m. Printed in whole newtons and to 0.1°/g. The sum printed
# there, 1919 N, is a slip for 1909 and isn't used.
LOAD_TRANSFER_GEOMETRIC = (195.0, 760.0)
LOAD_TRANSFER_UNSPRUNG = (158.0, 218.0)
ROLL_GRADIENT = 10.9
