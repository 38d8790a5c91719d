"""Figures for the tests of trends, computed by other libraries: SciPy (t, F,
binomial) and statsmodels (Holm). Run once, on Debian's python3-scipy and
python3-statsmodels; the tests read history_oracle.csv alone.

    python3 testdata/published/history_oracle.py > testdata/published/history_oracle.csv
"""
from scipy import stats
from statsmodels.stats.multitest import multipletests

print("case,inputs,printed value,tolerance,document,clause,mark")


def row(case, inputs, value, library):
    print(f"{case},{inputs},{value:.15g},1e-7,{library},,own")


for t, nu in [(16.3, 3), (5.55, 6), (2.0, 8), (4.144, 10), (-3.0, 2.5), (0.1, 1)]:
    row("two-sided t", f"{t} {nu}", 2 * stats.t.sf(abs(t), nu), "scipy.stats.t")
for x, a, b in [(2.261519, 9, 40), (4.0, 1, 12), (10.0, 3, 5)]:
    row("F survival", f"{x} {a} {b}", stats.f.sf(x, a, b), "scipy.stats.f")
for x, n, p in [(15, 20, 0.95), (17, 20, 0.95), (39, 40, 0.9), (0, 10, 0.1), (999, 2000, 0.5), (3, 7, 0.25)]:
    row("binomial", f"{x} {n} {p}", stats.binom.cdf(x, n, p), "scipy.stats.binom")
for p in ([0.01, 0.04, 0.03, 0.005], [0.2, 0.2, 0.9], [0.0001, 0.5, 0.0002, 0.03, 0.03]):
    for i, v in enumerate(multipletests(p, method="holm")[1]):
        row("Holm", f"{i} " + " ".join(map(str, p)), v, "statsmodels multipletests")
