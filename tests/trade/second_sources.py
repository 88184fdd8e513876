"""
Dimensions as other people list them, copied by hand from public data sets to compare with ours.

The first list belongs to a package that cannot be installed without a whole CAD kernel, so the
rows that matter stand here.
"""

# bd-warehouse 0.4.0 (Apache-2.0), data/single_row_deep_groove_ball_bearing_parameters.csv;
# 618xx and 619xx are the long forms of 68xx and 69xx.
BD_WAREHOUSE_BEARINGS = {
    "626": (6, 19, 6),
    "608": (8, 22, 7),
    "609": (9, 24, 7),
    "629": (9, 26, 8),
    "6800": (10, 19, 5),
    "6900": (10, 22, 6),
    "6000": (10, 26, 8),
    "16100": (10, 28, 8),
    "6200": (10, 30, 9),
}

# BOSL2 (BSD-2-Clause), ball_bearings.scad, commit 0a1abb78.
BOSL2_BEARINGS = {
    "608": (8, 22, 7),
    "629": (9, 26, 8),
    "6000": (10, 26, 8),
    "6001": (12, 28, 8),
    "6002": (15, 32, 9),
    "6003": (17, 35, 10),
    "6200": (10, 30, 9),
    "6201": (12, 32, 10),
    "6202": (15, 35, 11),
    "6800": (10, 19, 5),
    "6801": (12, 21, 5),
    "6802": (15, 24, 5),
    "6803": (17, 26, 5),
    "6804": (20, 32, 7),
    "6805": (25, 37, 7),
    "6806": (30, 42, 7),
    "6900": (10, 22, 6),
    "6901": (12, 24, 6),
    "6902": (15, 28, 7),
    "6903": (17, 30, 7),
    "6904": (20, 37, 9),
    "6905": (25, 42, 9),
    "16002": (15, 22, 8),
    "16004": (20, 42, 8),
    "16100": (10, 28, 8),
    "16101": (12, 30, 8),
}
# A bearing of the zero series with a bore of 15 is wider outside than 6802 (24) and 6902 (28), and
# 16002 shares its 32 mm with 6002: 22 mm is a slip of that list.
BOSL2_SLIPS = {"16002"}

# bd-warehouse 0.4.0, the sizes of data/socket_head_cap_parameters.csv (ISO 4762) and, for M7, of
# data/tap_hole_sizes.csv.
BD_WAREHOUSE_PITCHES_MM = {
    "M2": 0.4,
    "M2.5": 0.45,
    "M3": 0.5,
    "M4": 0.7,
    "M5": 0.8,
    "M6": 1,
    "M7": 1.0,
    "M8": 1.25,
    "M10": 1.5,
    "M12": 1.75,
    "M14": 2,
    "M16": 2,
}
