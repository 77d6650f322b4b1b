"""Makes preference-map.json: least squares by numpy, and p by going through every order of the samples.

The first case is published: Longley (1967), Journal of the American Statistical Association 62:819-841, with the certified
values of the NIST Statistical Reference Datasets. Figures from memory; numpy agrees with the certified values.

    python3 tests/references/preference-map.py > tests/references/preference-map.json
"""
import itertools
import json

import numpy as np

longley = """60323 83 234289 2356 1590 107608 1947
61122 88.5 259426 2325 1456 108632 1948
60171 88.2 258054 3682 1616 109773 1949
61187 89.5 284599 3351 1650 110929 1950
63221 96.2 328975 2099 3099 112075 1951
63639 98.1 346999 1932 3594 113270 1952
64989 99 365385 1870 3547 115094 1953
63761 100 363112 3578 3350 116219 1954
66019 101.2 397469 2904 3048 117388 1955
67857 104.6 419180 2822 2857 118734 1956
68169 108.4 442769 2936 2798 120445 1957
66513 110.8 444546 4681 2637 121950 1958
68655 112.6 482704 3813 2552 123366 1959
69564 114.2 502601 3931 2514 125368 1960
69331 115.7 518173 4806 2572 127852 1961
70551 116.9 554894 4007 2827 130081 1962"""


def fit(places, row):
    x = np.column_stack([np.ones(len(row)), places])
    found, *_ = np.linalg.lstsq(x, row, rcond=None)
    left = row - x @ found
    total = ((row - row.mean()) ** 2).sum()
    return found, None if total == 0 else 1 - (left**2).sum() / total


def mean_r2(places, liking):
    return np.mean([r2 for _, r2 in (fit(places, row) for row in liking) if r2 is not None])


def whole(name, places, liking):
    places, liking = np.array(places, float), np.array(liking, float)
    seen = mean_r2(places, liking)
    orders = list(itertools.permutations(range(len(places))))
    far = sum(mean_r2(places[list(order)], liking) >= seen - 1e-10 for order in orders)
    short = lambda value: float(f"{value:.13g}")
    fits = [fit(places, row) for row in liking]
    return {
        "id": name,
        "source": "least squares and every order, by numpy (tests/references/preference-map.py)",
        "tolerance": {"relative": 1e-9, "absolute": 1e-10},
        "inputs": {"places": places.tolist(), "liking": liking.tolist()},
        "expected": {
            "meanRSquared": short(seen),
            "p": far / len(orders),
            "listeners": [
                {"intercept": short(b[0]), "slopes": [short(v) for v in b[1:]], "rSquared": None if r2 is None else short(r2)}
                for b, r2 in fits
            ],
        },
    }


rows = [[float(v) for v in line.split()] for line in longley.split("\n")]
published = {
    "id": "longley",
    "source": "Longley (1967), JASA 62:819-841; certified values of NIST StRD, data set Longley (from memory)",
    "tolerance": {"relative": 1e-8, "absolute": 1e-10},
    "inputs": {"places": [row[1:] for row in rows], "liking": [[row[0] for row in rows]], "permutations": 100},
    "expected": {
        "meanRSquared": 0.995479004577296,
        "listeners": [
            {
                "intercept": -3482258.63459582,
                "slopes": [15.0618722713733, -0.0358191792925910, -2.02022980381683, -1.03322686717359, -0.0511041056535807, 1829.15146461355],
                "rSquared": 0.995479004577296,
            }
        ],
    },
}
b, r2 = fit(np.array([row[1:] for row in rows]), np.array([row[0] for row in rows]))
assert abs(b[6] / 1829.15146461355 - 1) < 1e-6 and abs(r2 - 0.995479004577296) < 1e-10

random = np.random.default_rng(4)
cases = [published]
for name, samples, dimensions, listeners in [("five-samples", 5, 2, 6), ("six-samples", 6, 2, 9), ("one-dimension", 4, 1, 3), ("three-dimensions", 6, 3, 4)]:
    places = random.normal(size=(samples, dimensions)).round(3)
    liking = (4 + places @ random.normal(size=(dimensions, listeners)) + random.normal(size=(samples, listeners))).T.round(1)
    cases.append(whole(name, places, liking))
cases.append(whole("one-likes-all-alike", [[0, 0], [1, 0.2], [0.4, 1], [1, 1], [2, 0.5]], [[1, 3, 2, 4, 5], [4, 4, 4, 4, 4], [5, 1, 3, 2, 2]]))
print(json.dumps(cases, indent=1))
