"""Profile limits of the beta and the chance-corrected beta model, and fits at sizes where doubles would lose digits, with
mpmath: the likelihood is integrated over the listener's share (tanh-sinh, 30 digits), not summed as in the code it checks;
of many trials, where it is a needle, it is summed term by term.

    python3 tests/references/replicated-difference.py

prints the cases "profile-*" of replicated-difference.json. Each starts from a rough guess and is solved by mpmath's
secant method: slopes zero at the peak; slope by gamma zero and the drop met at a limit.
"""
import json
from mpmath import mp, mpf, quad, log, beta, binomial, diff, findroot

mp.dps = 30


def log_lik(rows, chance, mean, gamma):
    a, b = mean * (1 - gamma) / gamma, (1 - mean) * (1 - gamma) / gamma
    total = mpf(0)
    for correct, trials in rows:
        wrong = trials - correct
        middle = max(mpf("0.01"), min(mpf("0.99"), (mpf(correct) / trials - chance) / (1 - chance)))
        spread = mpf(1) / mp.sqrt(trials)
        inner = [p for p in (middle - 4 * spread, middle, middle + 4 * spread) if 0 < p < 1]
        # A singular end is integrated in powers of the share, so that nothing stands in the way of the rule.
        x, y = min(a, 1), min(wrong + b, 1)
        left = lambda s: (chance + (1 - chance) * s ** (1 / x)) ** correct * (1 - s ** (1 / x)) ** (wrong + b - 1) * (
            s ** ((a - x) / x) / x
        )
        right = lambda s: (1 - (1 - chance) * s ** (1 / y)) ** correct * (1 - s ** (1 / y)) ** (a - 1) * (
            s ** ((wrong + b - y) / y) / y
        )
        low = quad(left, [0] + [p ** x for p in inner if p < 0.5] + [mpf("0.5") ** x])
        high = quad(right, [0] + sorted((1 - p) ** y for p in inner if p > 0.5) + [mpf("0.5") ** y])
        total += log(binomial(trials, correct) * (1 - chance) ** wrong * (low + high) / beta(a, b))
    return total


def log_lik_of_many(rows, chance, mean, gamma):
    rest, total = 1 - gamma, mpf(0)
    for correct, trials in rows:
        wrong = trials - correct
        term = chance ** correct
        for j in range(wrong):
            term *= ((1 - mean) * rest + j * gamma) / (rest + j * gamma)
        likelihood = term
        for k in range(correct):
            guessed = mpf(correct - k) / (k + 1) * (1 - chance) / chance
            term *= guessed * (mean * rest + k * gamma) / (rest + (k + wrong) * gamma)
            likelihood += term
        total += log(binomial(trials, correct) * (1 - chance) ** wrong * likelihood)
    return total


def case(name, rows, chance, start, limits, drop):
    rows = [tuple(row) for row in rows]
    many = max(trials for _, trials in rows) > 100
    at = lambda mean, gamma: (log_lik_of_many if many else log_lik)(rows, chance, mean, gamma)
    by = lambda order: lambda mean, gamma: diff(at, (mean, gamma), order)
    peak = findroot([by((1, 0)), by((0, 1))], start, tol=1e-18)
    mean, gamma = peak
    top = at(mean, gamma)
    found = [
        findroot([lambda m, g: at(m, g) - top + drop, by((0, 1))], guess, tol=1e-16)[0] for guess in limits
    ]
    value = lambda x: float(x)
    return {
        "id": name,
        "description": "fit and profile limits of the mean, chance " + mp.nstr(chance, 4),
        "source": "definition of the profile likelihood (Venzon & Moolgavkar 1988, Applied Statistics 37:87-94); invented counts",
        "confirmedBy": "mpmath 1.3.0, likelihood " + ("summed" if many else "by quadrature") + " with 30 digits",
        "tolerance": {"relative": 1e-9, "absolute": 1e-9},
        "inputs": {"listeners": [{"correct": c, "trials": t} for c, t in rows], "chance": value(chance)},
        "expected": {
            "chanceCorrected" if chance > 0 else "betaBinomial": {
                "mean": value(mean),
                "gamma": value(gamma),
                "logLik": value(top),
                "lower": value(found[0]),
                "upper": value(found[1]),
            }
        },
    }


drop = mpf("3.841458820694124") / 2
half, third = mpf(1) / 2, mpf(1) / 3
print(
    json.dumps(
        [
            case("profile-half", [(12, 12), (11, 12), (8, 12), (7, 12), (5, 12), (9, 12)], half, (0.45, 0.3), [(0.15, 0.4), (0.73, 0.3)], drop),
            case("profile-third", [(10, 10), (9, 10), (3, 10), (4, 10), (7, 8)], third, (0.5, 0.4), [(0.2, 0.5), (0.8, 0.4)], drop),
            case("profile-none", [(10, 10), (9, 10), (3, 10), (4, 10), (7, 8)], mpf(0), (0.7, 0.2), [(0.45, 0.3), (0.87, 0.2)], drop),
            case("profile-many", [(1200, 2000), (1500, 2000), (1900, 2000)], half, (0.5, 0.2), [(0.2, 0.3), (0.85, 0.3)], drop),
        ],
        indent=1,
    )
)
