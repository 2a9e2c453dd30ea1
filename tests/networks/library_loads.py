"""What runs in each state of the circuits that ship, as a teacher would say it, written by hand.

Two loads that share the volts are joined by a plus: a blower behind its resistors.
"""

WORKS = {
    "blower-pack": {
        "off": "",
        "first": "R1+R2+R3+BM",
        "second": "R2+R3+BM",
        "third": "R3+BM",
        "fourth": "BM",
    },
    "blower-relay": {"off": "", "low": "R1+BM", "high": "BM"},
    "body-front": {
        "off": "",
        "side": "SL SR",
        "low": "LL LR SL SR MOD",
        "fog": "LL LR SL SR FL FR MOD",
        "horn": "HN",
        "fan": "FM MOD",
        "wash": "WP MOD",
    },
    "brake-lamps": {"off": "", "brake": "BL BR BH DL DR"},
    "charging": {"off": "", "key": "L1", "run": "", "loaded": "R1"},
    "cooling-fan": {"off": "", "cold": "MOD", "warm": "R1+FM MOD", "hot": "FM MOD"},
    "fan": {"off": "", "run": "Fan"},
    "fuel-gauge": {
        "off": "",
        "full": "GF+RF GT+RT",
        "half": "GF+RF GT+RT",
        "low": "GF+RF GT+RT LF",
    },
    "fuel-pump": {"off": "", "key": "MOD", "run": "PM MOD", "tripped": "MOD"},
    "headlamps": {"off": "", "side": "L3", "head": "L1 L2 L3"},
    "headlamps-changeover": {"off": "", "low": "LL LR", "high": "HL HR LT"},
    "horn": {"quiet": "", "press": "H1 H2"},
    "ignition-feed": {
        "off": "",
        "accessories": "RAD",
        "on": "MOD RAD INS",
        "run": "IC MOD RAD INS",
        "reverse": "MOD RAD INS LL LR",
        "start": "IC MOD KS INS",
    },
    "interior-lamp": {
        "off": "",
        "left": "LF LR",
        "right": "LF LR",
        "key": "LF LR LT+D1",
        "on": "LF",
    },
    "rear-heater": {"off": "", "key": "", "heat": "H1 H2 H3 LT"},
    "starting": {"off": "", "lamp": "L1", "crank": "M1", "in gear": ""},
    "trailer-socket": {"off": "", "tail": "TV TT", "left": "TL", "right": "TR", "brake": "TB"},
    "turn-hazard": {
        "off": "",
        "between": "",
        "left": "TFL TRL TTL",
        "right": "TFR TRR TTR",
        "hazard": "TFL TRL TTL TFR TRR TTR",
    },
    "window": {"off": "", "key": "", "up": "WM", "down": "WM"},
    "wiper-park": {"off": "", "key": "", "wipe": "WM", "parking": "WM", "wash": "WP"},
}
