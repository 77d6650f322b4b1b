"""Makes thurstonian.json and binomial.json: values to 17 digits from mpmath, by the integrals over impressions as
the literature prints them and by adding up the binomial in 40 digits; independent of the code they check.

Run: python3 tests/references/thurstonian.py (in the project's folder; needs mpmath)
"""
import json
from mpmath import erfc, exp, inf, linspace, loggamma, log, mp, mpf, pi, quad, sqrt
import mpmath

mp.dps = 60
folder = "tests/references/"
cdf = lambda z: erfc(-z / sqrt(2)) / 2
density = lambda z: exp(-z * z / 2) / sqrt(2 * pi)


def line(f, low, high):
    """The integral over a line, cut into pieces so that no peak is missed."""
    return quad(f, linspace(low, high, 25))


def three_afc(d):
    return line(lambda x: cdf(x) ** 2 * density(x - d), -16, d + 16)


def triangle(d):
    return 2 * line(lambda z: (cdf(-z * sqrt(3) + d * sqrt(mpf(2) / 3)) + cdf(-z * sqrt(3) - d * sqrt(mpf(2) / 3))) * density(z), 0, 16)


def tetrad(d):
    return 1 - 2 * line(lambda x: density(x) * (2 * cdf(x) * cdf(x - d) - cdf(x - d) ** 2), -16, 16 + d)


def duo_trio(d):
    a, b = cdf(d / sqrt(2)), cdf(d / sqrt(6))
    return 1 - a - b + 2 * a * b


def abx_independent(d):
    return cdf(d / sqrt(2)) * cdf(d / 2) + cdf(-d / sqrt(2)) * cdf(-d / 2)


methods = {
    "2-afc": (2, lambda d: cdf(d / sqrt(2))),
    "3-afc": (3, three_afc),
    "triangle": (3, triangle),
    "duo-trio": (2, duo_trio),
    "tetrad": (3, tetrad),
    "abx-differencing": (2, duo_trio),
    "abx-independent": (2, abx_independent),
    "same-different-independent": (2, lambda d: cdf(d / 2) ** 2 + cdf(-d / 2) ** 2),
}
points = []
for method, (answers, share) in methods.items():
    for d in [0.001, 0.3, 1, 2.5, 6, 11, 17]:
        p = share(mpf(d))
        points.append({"method": method, "dPrime": d, "above": float(p - mpf(1) / answers), "wrong": float(1 - p)})

sources = "Green & Swets 1966 (2-AFC); Hacker & Ratcliff 1979 (3-AFC); Ennis 1993 (triangle, duo-trio); Ennis, Ennis, Palen & O'Mahony 1998 (tetrad); Macmillan & Creelman 2005, ch. 9 (ABX, same-different); integrals from memory"
with open(folder + "thurstonian.json", "w") as file:
    json.dump({"source": sources, "generator": f"thurstonian.py, mpmath {mpmath.__version__}, 60 digits", "tolerance": {"relative": 1e-12, "absolute": 0}, "points": points}, file, indent=1)
    file.write("\n")

mp.dps = 40


def outcome(k, n, p):
    return exp(loggamma(n + 1) - loggamma(k + 1) - loggamma(n - k + 1) + k * log(p) + (n - k) * log(1 - p))


def outward(k, n, p, step):
    """All outcomes from k on, upwards or downwards, until 30 digits stand."""
    term = outcome(k, n, p)
    total = mpf(0)
    while 0 <= k <= n and term > total * mpf(10) ** -30:
        total += term
        term *= (n - k) * p / ((k + 1) * (1 - p)) if step > 0 else k * (1 - p) / ((n - k + 1) * p)
        k += step
    return total


tails = []
for n in [60, 1000, 100_000, 1_000_000]:
    for chance in [0.5, 1 / 3, 0.1, 0.9, 1e-5]:
        p = mpf(chance)
        spread = (n * chance * (1 - chance)) ** 0.5
        counts = [round(n * chance + z * spread) for z in [-25, -6, -1.7, 0, 0.4, 3, 11, 30]]
        for k in sorted({0, n, *(k for k in counts if 0 <= k <= n)}):
            at = outcome(k, n, p)
            if k > n * p:
                upper = outward(k, n, p, 1)
                lower = 1 - upper + at
            else:
                lower = outward(k, n, p, -1)
                upper = 1 - lower + at
            if min(upper, lower) > mpf(10) ** -280:
                tails.append({"count": k, "trials": n, "chance": chance, "lower": float(lower), "upper": float(upper)})

critical = []
for n in [10_000, 1_000_000]:
    for chance in [1 / 3, 0.1]:
        for alpha in [0.05, 0.001]:
            k = int(n * chance)
            tail = outward(k + 1, n, mpf(chance), 1)
            k += 1
            while tail > alpha:
                tail -= outcome(k, n, mpf(chance))
                k += 1
            critical.append({"trials": n, "chance": chance, "alpha": alpha, "count": k, "attainedAlpha": float(tail)})

with open(folder + "binomial.json", "w") as file:
    json.dump({"source": "the definition of the binomial", "generator": f"thurstonian.py, mpmath {mpmath.__version__}, 40 digits", "tolerance": {"relative": 1e-11, "absolute": 0}, "tails": tails, "critical": critical}, file, indent=1)
    file.write("\n")
