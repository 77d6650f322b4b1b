"""Makes distributions.json: values to 17 digits from mpmath and exact fractions, independent of the code they check.

Run: python3 tests/references/distributions.py > tests/references/distributions.json
"""
import json
from fractions import Fraction
from math import comb
from mpmath import mp, mpf, betainc, erfc, exp, expm1, gamma, gammainc, inf, linspace, log, log1p, pi, sqrt, findroot
import numpy as np
import mpmath

mp.dps = 60
number = lambda x: float(mpf(x))
fraction = lambda f: float(mpf(f.numerator) / mpf(f.denominator))

binomial = []
for trials, chance in [(1, Fraction(1, 2)), (7, Fraction(1, 3)), (20, Fraction(1, 10)), (100, Fraction(1, 2)), (300, Fraction(1, 3)), (1000, Fraction(1, 2)), (2000, Fraction(1, 8))]:
    p = Fraction(float(chance))
    pmf = [comb(trials, k) * p**k * (1 - p) ** (trials - k) for k in range(trials + 1)]
    for k in sorted({0, 1, trials // 10, trials // 3, trials // 2, (3 * trials) // 5, trials - 1, trials}):
        values = [fraction(pmf[k]), fraction(sum(pmf[: k + 1])), fraction(sum(pmf[k:]))]
        if min(values) > 1e-290:
            binomial.append({"count": k, "trials": trials, "chance": float(chance), "pmf": values[0], "lower": values[1], "upper": values[2]})

normal = [{"z": z, "lower": number(erfc(-mpf(z) / sqrt(2)) / 2), "upper": number(erfc(mpf(z) / sqrt(2)) / 2)} for z in [-30, -8, -1.96, -0.5, 0, 0.25, 1.5, 3, 6.8, 12, 35]]
quantile = []
for p in [1e-300, 1e-100, 1e-20, 1e-13, 1e-11, 5e-5, 0.025, 0.3, 0.5, 0.8, 0.999]:
    start = -sqrt(-2 * log(mpf(p))) if p < 0.01 else (mpf(p) - 0.5) * 2
    root = findroot(lambda z: log(erfc(-z / sqrt(2)) / 2) - log(mpf(p)), start)
    quantile.append({"p": p, "z": number(root)})


def t_upper(t, df):
    t, df = mpf(t), mpf(df)
    tail = betainc(df / 2, mpf(1) / 2, 0, df / (df + t * t), regularized=True) / 2
    return tail if t >= 0 else 1 - tail


student = [{"t": t, "df": df, "upper": number(t_upper(t, df)), "lower": number(t_upper(-t, df))} for df in [1, 2.5, 7, 30, 1000] for t in [-3, 0.5, 2, 8, 40]]
beta = [{"x": x, "a": a, "b": b, "lower": number(betainc(a, b, 0, mpf(x), regularized=True)), "upper": number(betainc(a, b, mpf(x), 1, regularized=True))} for x, a, b in [(0.001, 5, 11), (0.3, 0.5, 0.5), (0.5, 40, 1), (0.9, 3.3, 7.7), (0.2, 200, 300), (0.02, 0.4, 1.6)]]
chi = [{"x": x, "df": df, "lower": number(gammainc(mpf(df) / 2, 0, mpf(x) / 2, regularized=True)), "upper": number(gammainc(mpf(df) / 2, mpf(x) / 2, mp.inf, regularized=True))} for df in [1, 2, 6.5, 23.25, 60, 400] for x in [0.01, 1, 5, 23, 60, 150, 600]]

f_tail = lambda f, d1, d2: betainc(mpf(d2) / 2, mpf(d1) / 2, 0, d2 / (d2 + d1 * mpf(f)), regularized=True)
f_below = lambda f, d1, d2: betainc(mpf(d1) / 2, mpf(d2) / 2, 0, d1 * mpf(f) / (d2 + d1 * mpf(f)), regularized=True)
fisher = [{"f": f, "d1": d1, "d2": d2, "lower": number(f_below(f, d1, d2)), "upper": number(f_tail(f, d1, d2))} for d1, d2 in [(1, 5), (2, 168), (3, 24), (7.5, 2.5), (40, 400)] for f in [1e-6, 0.3, 1, 4, 115]]

# Integrals: the definition, by 20 Gauss-Legendre points on each of many pieces, so that the quadrature sees every peak.
mp.dps = 20
legendre = [(float(x), float(w)) for x, w in zip(*np.polynomial.legendre.leggauss(20))]


def quad(f, points):
    return sum((b - a) / 2 * sum(w * f((a + b) / 2 + (b - a) / 2 * x) for x, w in legendre) for a, b in zip(points, points[1:]))


below = lambda z: erfc(-z / sqrt(mpf(2))) / 2
density = lambda z: exp(-z * z / 2) / sqrt(2 * pi)
scale = lambda s, df: 2 * (mpf(df) / 2) ** (mpf(df) / 2) / gamma(mpf(df) / 2) * s ** (df - 1) * exp(-df * s * s / 2)


def range_upper(w, k):
    term = lambda z: density(z) * below(z) ** (k - 1) * -expm1((k - 1) * log1p(-below(z - w) / below(z)))
    return k * quad(term, linspace(-10, w / 2 + 12, 24))


def studentized(q, k, df):
    if df == inf:
        return range_upper(mpf(q), k)
    middle = sqrt(mpf(df) / (df + mpf(q) ** 2 / 2))
    return quad(lambda s: scale(s, df) * range_upper(q * s, k), [middle * x for x in [0, 0.05, 0.2, 0.4, 0.6, 0.8, 0.9, 1, 1.1, 1.25, 1.5, 2, 3, 5, 8]])


def noncentral(t, df, ncp, sign):
    return quad(lambda s: scale(s, df) * below(sign * (ncp - t * s)), linspace(mpf(1) / 1000, 12, 400))


studentized_range = [{"q": q, "groups": k, "df": None if df == inf else df, "upper": number(studentized(q, k, df))} for q, k, df in [(3.5, 3, 20), (0.5, 10, 30), (10, 6, 24), (30, 5, 100), (50, 3, 2), (1, 2, 5), (3.31, 3, inf), (8, 100, inf), (25, 4, inf)]]
noncentral_t = [{"t": t, "df": df, "ncp": ncp, "lower": number(noncentral(t, df, ncp, -1)), "upper": number(noncentral(t, df, ncp, 1))} for t, df, ncp in [(2, 10, 1), (2, 10, 30), (60, 5, 40), (-1, 7, 3), (0, 5, 1), (40, 12, 1), (1.98, 99, -2.5), (2.1, 19, 25)]]

s = [1, 2, 3, 4]
words = []
mask = 0xFFFFFFFF
rotl = lambda x, k: ((x << k) | (x >> (32 - k))) & mask
for _ in range(12):
    words.append(rotl((s[1] * 5) & mask, 7) * 9 & mask)
    t = (s[1] << 9) & mask
    s[2] ^= s[0]
    s[3] ^= s[1]
    s[1] ^= s[2]
    s[0] ^= s[3]
    s[2] ^= t
    s[3] = rotl(s[3], 11)

print(json.dumps({
    "source": "mpmath with 60 digits, binomial by exact fractions, xoshiro128** from its published recurrence (Blackman & Vigna 2021)",
    "generator": "distributions.py", "versions": {"mpmath": mpmath.__version__, "numpy": np.__version__}, "tolerance": {"relative": 1e-11, "absolute": 0},
    "binomial": binomial, "normal": normal, "normalQuantile": quantile, "t": student, "beta": beta, "chiSquare": chi, "f": fisher, "studentizedRange": studentized_range, "nonCentralT": noncentral_t, "xoshiro128starstar": {"state": [1, 2, 3, 4], "words": words}}, indent=1))
