"""Figures for surveys of lots, computed by other libraries: SciPy (factors of
statistical tolerance intervals, by quadrature of the defining integral) and
NumPy (the log law of a compression run and fits of several columns by least
squares). Run once, on Debian's python3-scipy; the tests read survey_oracle.csv
alone.

    python3 testdata/published/survey_oracle.py > testdata/published/survey_oracle.csv
"""
import numpy as np
from scipy import stats
from scipy.integrate import quad
from scipy.optimize import brentq

print("case,inputs,printed value,tolerance,document,clause,mark")


def row(case, inputs, value, tolerance, library):
    print(f"{case},{inputs},{value:.14g},{tolerance},{library},,own")


def factor(n, p, gamma):
    nu = n - 1

    def width(z):
        return brentq(lambda r: stats.norm.cdf(z + r) - stats.norm.cdf(z - r) - p, 0, abs(z) + 9, xtol=1e-14)

    def confidence(k):
        def f(z):
            return stats.chi2.sf(nu * width(z) ** 2 / (k * k), nu) * stats.norm.pdf(z, scale=1 / np.sqrt(n))
        return 2 * quad(f, 0, 8.5 / np.sqrt(n), epsabs=1e-13, epsrel=1e-12, limit=200)[0]

    return brentq(lambda k: confidence(k) - gamma, 1, 30, xtol=1e-12)


for n, p, gamma in [(43, 0.90, 0.99), (10, 0.95, 0.95), (15, 0.95, 0.95), (5, 0.90, 0.95), (30, 0.99, 0.95)]:
    row("tolerance factor", f"{n} {p} {gamma}", factor(n, p, gamma), "1e-9", "scipy.integrate.quad")

runs = [([1, 2, 5, 10, 20], [5.412, 5.305, 5.158, 5.049, 4.941]),
        ([34.474, 41.369, 48.263], [5.1054, 5.0800, 5.0546]),
        ([0.5, 2, 20, 200], [3.871, 3.402, 2.633, 1.874])]
for p, t in runs:
    x = np.log(np.array(p))
    c, cov = np.polyfit(x, np.array(t), 1, cov="unscaled")
    rest = np.array(t) - np.polyval(c, x)
    s = np.sqrt(rest @ rest / (len(p) - 2))
    inputs = " ".join(f"{a}:{b}" for a, b in zip(p, t))
    row("log law a", inputs, c[1], "1e-9", "numpy.polyfit")
    row("log law b", inputs, c[0], "1e-9", "numpy.polyfit")
    row("log law u(b)", inputs, s * np.sqrt(cov[0, 0]), "1e-8", "numpy.polyfit")

rng = np.random.default_rng(7)
for n in (9, 15):
    columns = np.round(rng.uniform(0, 1, (n, 3)), 3)
    y = np.round(5 + columns @ np.array([-0.08, 0.0, 0.03]) + rng.normal(0, 0.01, n), 4)
    a = np.column_stack([np.ones(n), columns])
    beta, rest, _, _ = np.linalg.lstsq(a, y, rcond=None)
    s2 = rest[0] / (n - 4)
    u = np.sqrt(np.diag(np.linalg.inv(a.T @ a)) * s2)
    inputs = ";".join(" ".join(map(str, [*c, v])) for c, v in zip(columns.tolist(), y.tolist()))
    for j in range(3):
        row(f"several slope {j}", inputs, beta[j + 1], "1e-8", "numpy.linalg.lstsq")
        row(f"several u {j}", inputs, u[j + 1], "1e-8", "numpy.linalg.lstsq")
