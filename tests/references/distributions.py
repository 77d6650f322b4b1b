"""Makes distributions.json: values to 17 digits from mpmath and exact fractions, independent of the code they check.

Run: python3 tests/references/distributions.py > tests/references/distributions.json
"""
import json
from fractions import Fraction
from math import comb
from mpmath import mp, mpf, betainc, erfc, gammainc, sqrt, findroot, log
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
    "generator": "distributions.py", "versions": {"mpmath": mpmath.__version__}, "tolerance": {"relative": 1e-11, "absolute": 0},
    "binomial": binomial, "normal": normal, "normalQuantile": quantile, "t": student, "beta": beta, "chiSquare": chi, "xoshiro128starstar": {"state": [1, 2, 3, 4], "words": words}}, indent=1))
