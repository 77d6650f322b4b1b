"""Makes accuracy.json: random points over the whole working range of each distribution, to 17 digits from mpmath.

Run: python3 tests/references/accuracy.py > tests/references/accuracy.json
"""
import json
import random
from mpmath import mp, mpf, erfc, exp, gammainc, log, loggamma, sqrt
import mpmath

mp.dps = 50
random.seed(20261125)
number = lambda x: float(mpf(x))
below = lambda z: erfc(-z / sqrt(mpf(2))) / 2
smallest = 1e-290


def spread(low, high):
    """Evenly on the logarithm."""
    return low * (high / low) ** random.random()


def tails(rows, point, lower, upper):
    values = [number(lower), number(upper)]
    if min(values) > smallest:
        rows.append({"at": point, "lower": values[0], "upper": values[1]})


def far_tail(x, y, a, b):
    """The lower tail for x below the mean, by the series of positive terms (Abramowitz & Stegun 1964, 26.5.4 summed)."""
    a, b = mpf(a), mpf(b)
    term = total = mpf(1)
    n = 0
    while term > total * mpf(10) ** -45:
        term *= (a + b + n) / (a + 1 + n) * x
        total += term
        n += 1
    return exp(a * log(x) + b * log(y) + loggamma(a + b) - loggamma(a) - loggamma(b)) / a * total


def beta_tails(x, y, a, b):
    """Both tails: the small one as such, the other as what is left of 1."""
    if x * (a + b + 2) <= a + 1:
        tail = far_tail(x, y, a, b)
        return tail, 1 - tail
    tail = far_tail(y, x, b, a)
    return 1 - tail, tail


normal, student, beta, binomial, chi, fisher = [], [], [], [], [], []
while len(normal) < 100:
    z = random.uniform(-36, 36)
    tails(normal, [z], below(mpf(z)), below(-mpf(z)))
while len(student) < 150:
    df = random.choice([random.randint(1, 60), spread(0.5, 1e5)])
    t = random.choice([-1, 1]) * spread(0.01, 40)
    square = mpf(t) ** 2
    tail = beta_tails(df / (df + square), square / (df + square), mpf(df) / 2, mpf(1) / 2)[0] / 2
    tails(student, [t, df], 1 - tail if t > 0 else tail, tail if t > 0 else 1 - tail)
while len(beta) < 150:
    a, b = [random.choice([random.randint(1, 200), random.randint(1, 400) / 2, spread(0.3, 3000)]) for _ in "ab"]
    x = min(0.999999, max(1e-6, random.choice([random.random(), random.betavariate(a, b)])))
    tails(beta, [x, a, b], *beta_tails(mpf(x), 1 - mpf(x), a, b))
while len(binomial) < 150:
    trials = round(spread(1, 20000))
    chance = random.choice([0.5, 1 / 3, 0.1, random.random()])
    count = min(trials, max(0, round(random.choice([random.uniform(0, trials), random.gauss(trials * chance, 4 * (trials * chance) ** 0.5)]))))
    p = mpf(chance)
    upper = mpf(1) if count == 0 else beta_tails(p, 1 - p, count, trials - count + 1)[0]
    lower = mpf(1) if count == trials else beta_tails(p, 1 - p, count + 1, trials - count)[1]
    tails(binomial, [count, trials, chance], lower, upper)
while len(chi) < 150:
    df = random.choice([random.randint(1, 60), spread(0.5, 3000)])
    x = random.choice([spread(0.01, 1000), df * spread(0.3, 3)])
    tails(chi, [x, df], gammainc(mpf(df) / 2, 0, mpf(x) / 2, regularized=True), gammainc(mpf(df) / 2, mpf(x) / 2, mp.inf, regularized=True))
while len(fisher) < 150:
    d1, d2 = random.choice([(random.randint(1, 20), random.randint(1, 400)), (spread(0.5, 300), spread(0.5, 3000))])
    f = spread(0.01, 100)
    whole = d2 + d1 * mpf(f)
    tails(fisher, [f, d1, d2], *beta_tails(d1 * mpf(f) / whole, d2 / whole, mpf(d1) / 2, mpf(d2) / 2))

print(json.dumps({
    "source": "mpmath with 50 digits at random points over the working range, tails of 1e-290 included",
    "generator": "accuracy.py", "versions": {"mpmath": mpmath.__version__}, "seed": 20261125,
    "normal": normal, "t": student, "beta": beta, "binomial": binomial, "chiSquare": chi, "f": fisher}))
