"""Makes dip.json: the dip of small samples as a linear programme over all distributions with one peak.

For each place of the peak: the law is convex before it and concave after it, may jump at it, and lies as near as it can
to the steps of the sample (Hartigan & Hartigan 1985, Annals of Statistics 13:70-84, definition). Needs scipy.

    python3 tests/references/dip.py > tests/references/dip.json
"""
import json

import numpy as np
from scipy.optimize import linprog


def dip(values):
    at, counts = np.unique(np.array(values, float), return_counts=True)
    above = np.cumsum(counts) / len(values)
    below = above - counts / len(values)
    k = len(at)
    best = 1.0
    for peak in range(k):
        # The law's value at each point (left of a jump at the peak), right of that jump, and the distance.
        rows, limits = [], []

        def lies(place, sign, limit):
            row = np.zeros(k + 2)
            row[place] = sign
            row[-1] = -1
            rows.append(row)
            limits.append(limit)

        for i in range(k):
            right = k if i == peak else i
            lies(i, 1, below[i])
            lies(i, -1, -below[i])
            lies(right, 1, above[i])
            lies(right, -1, -above[i])
        jump = np.zeros(k + 2)
        jump[peak], jump[k] = 1, -1
        rows.append(jump)
        limits.append(0)

        def slope(i):
            row = np.zeros(k + 2)
            width = at[i + 1] - at[i]
            row[i + 1] += 1 / width
            row[k if i == peak else i] -= 1 / width
            return row

        slopes = [slope(i) for i in range(k - 1)]
        ordered = [-one for one in slopes]
        ordered += [slopes[i] - slopes[i + 1] for i in range(peak - 1)]
        ordered += [slopes[i + 1] - slopes[i] for i in range(peak, k - 2)]
        rows += ordered
        limits += [0] * len(ordered)
        cost = np.zeros(k + 2)
        cost[-1] = 1
        found = linprog(cost, A_ub=np.array(rows), b_ub=np.array(limits), bounds=[(0, 1)] * (k + 2), method="highs")
        if found.status == 0:
            best = min(best, found.fun)
    return best


samples = {
    "evenly": [1, 2, 3, 4, 5, 6, 7, 8],
    "two-camps": [1, 1.2, 1.4, 1.6, 8, 8.2, 8.4, 8.6],
    "two-values": [2, 2, 2, 7, 7, 7],
    "one-peak": [1, 3, 4, 4.5, 4.8, 5, 5.3, 6, 8],
    "ties": [1, 1, 2, 4, 4, 4, 5, 6, 6, 6, 6, 9],
    "one-end": [1, 5, 6, 6.5, 7, 7.2, 7.3, 7.4],
    "three-camps": [1, 1.1, 1.2, 5, 5.1, 5.2, 9, 9.1, 9.2],
    "uneven-camps": [2, 2.1, 2.3, 7, 7.1, 7.2, 7.4, 7.5, 7.9, 8.3, 8.4],
    "gaps": [-3, -1.5, -1.4, 0.2, 0.9, 4.4, 4.6, 4.7, 7.9],
}
print(
    json.dumps(
        [
            {
                "id": name,
                "source": "Hartigan & Hartigan (1985), definition, as a linear programme (tests/references/dip.py)",
                "tolerance": {"relative": 1e-9, "absolute": 1e-9},
                "inputs": {"values": values},
                "expected": {"dip": float(f"{dip(values):.12g}")},
            }
            for name, values in samples.items()
        ],
        indent=1,
    )
)
