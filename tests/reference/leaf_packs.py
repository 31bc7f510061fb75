"""Leaf packs and rear axles from published examples, as data: source, page, tolerance and why."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class TextbookSpring:
    """A symmetrical pack of full-length and graduated leaves; P is the load at each eye."""

    source: str
    full: int
    graduated: int
    half_length: float
    eye_load: float
    width: float
    thickness: float
    modulus: float


# Bhandari, Design of Machine Elements, example 10.24: b = 9t, 450 MPa, pre-stressed to equal
# stress. Printed: t 11.556 (12 taken), nip 13.482 mm, load on the clip bolts 4807.7 N.
BHANDARI_NIP = TextbookSpring(
    "Bhandari, Design of Machine Elements, ex. 10.24", 3, 15, 500.0, 37_500.0, 108.0, 12.0, 207e3
)
BHANDARI_NIP_STRESS = 450.0
BHANDARI_NIP_THICKNESS = 11.556
BHANDARI_NIP_GAP = 13.482
BHANDARI_NIP_BAND_LOAD = 4807.7

# The same, example 10.25. Printed: deflection 69.6767 mm.
BHANDARI_DEFLECTION = TextbookSpring(
    "Bhandari, Design of Machine Elements, ex. 10.25", 2, 10, 600.0, 15_000.0, 60.0, 12.0, 207e3
)
BHANDARI_DEFLECTION_RESULT = 69.6767

# Khurmi & Gupta, Machine Design, ch. 23 (from memory of the source): 10 + 2 leaves, span 1050 less
# a band of 85, 2W 5400 N, 280 MPa, 12t/b = 3. Printed: t 9.3 (10 taken), b 40, deflection 16.7.
KHURMI_STRESS = TextbookSpring(
    "Khurmi & Gupta, Machine Design, ch. 23", 2, 10, 482.5, 2700.0, 40.0, 10.0, 210e3
)
KHURMI_STRESS_LIMIT = 280.0
KHURMI_STRESS_THICKNESS = 9.3
KHURMI_STRESS_DEFLECTION = 16.7

# The same chapter (from memory): 2W 35 kN, span 1000, 10 leaves, deflection 80, 600 MPa, E 200 GPa.
# Printed: t 9.375 from deflection and stress together, b 82 with t 10.
KHURMI_DEFLECTION = TextbookSpring(
    "Khurmi & Gupta, Machine Design, ch. 23", 0, 10, 500.0, 17_500.0, 82.0, 10.0, 200e3
)
KHURMI_DEFLECTION_RESULT = 80.0
KHURMI_DEFLECTION_STRESS = 600.0
KHURMI_DEFLECTION_THICKNESS = 9.375

# Half-spring rates at the tip, N/m: E 206 GPa, width 63.5 mm, clamp 0; lengths and thickness in mm,
# then common curvature, point contact. Derived by hand, checked there by beam finite elements;
# checked again here by another finite-element package (test_leaf_frame). Printed to 0.1 N/m.
HALF_SPRINGS = (
    ((600, 480, 360, 240, 120), 6.5, 16_099.0, 15_004.4),
    ((600, 600, 450, 300, 150), 6.5, 17_759.8, 16_420.5),
    ((620, 500, 360, 220), 6.4, 12_477.0, 11_681.0),
    ((600, 300), 7.0, 9_232.1, 8_521.9),
)

# Five full-length leaves 63.5 x 6.5, E 206 GPa: (a, b) in mm; rate N/m, wind-up N·m/rad for one
# spring with the load held, bounce arm m. Derived, checked there by beam finite elements.
UNIFORM_BEAMS = (
    (700.0, 700.0, 26_183.5, 12_829.9, np.inf),
    (500.0, 900.0, 31_045.2, 10_306.0, 1.1250),
)

# Barton & Fieldhouse, Automotive Chassis Engineering, p. 213: one wheel, 20.63 kN/m of spring and
# 300 kN/m of tyre on 40 kg. Printed: 14.25 Hz.
BARTON_HOP = (20.63, 300.0, 40.0, 14.25)
