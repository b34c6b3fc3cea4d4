"""Rank acceptability of random tables, worked out without the program.

First ranks exactly: the weights under which an alternative is first form a polytope inside the simplex, whose volume
scipy's Qhull gives. All ranks and pairwise wins by numpy's own Dirichlet generator, two million weightings a table.
Usage: weights.py FILE writes the tables; weights.py --check FILE works them out again and compares.
"""
import json
import sys

import numpy as np
from scipy.optimize import linprog
from scipy.spatial import ConvexHull, HalfspaceIntersection

SAMPLES = 2_000_000


def first_share(values, i):
    """Share of the simplex on which alternative i scores highest; exact but for rounding."""
    n = values.shape[1]
    # Weights w = (x, 1 - sum x); halfspaces A x + b <= 0.
    rows = [np.append(-np.eye(n - 1)[k], 0.0) for k in range(n - 1)]
    rows.append(np.append(np.ones(n - 1), -1.0))
    for j in range(values.shape[0]):
        if j != i:
            gap = values[j] - values[i]
            rows.append(np.append(gap[:-1] - gap[-1], gap[-1]))
    halfspaces = np.array(rows)
    norm = np.linalg.norm(halfspaces[:, :-1], axis=1)
    # The centre of the largest ball inside.
    found = linprog(
        np.append(np.zeros(n - 1), -1.0),
        A_ub=np.column_stack([halfspaces[:, :-1], norm]),
        b_ub=-halfspaces[:, -1],
        bounds=[(None, None)] * (n - 1) + [(0, None)],
    )
    if not found.success or found.x[-1] < 1e-9:
        return 0.0
    if n == 2:
        # On a line: the largest interval.
        lows, highs = [], []
        for a, b in halfspaces:
            if a > 0:
                highs.append(-b / a)
            elif a < 0:
                lows.append(-b / a)
        return max(0.0, min(highs) - max(lows))
    corners = HalfspaceIntersection(halfspaces, found.x[:-1]).intersections
    volume = ConvexHull(corners).volume
    whole = 1.0
    for k in range(2, n):
        whole /= k
    return volume / whole


def sampled(values, seed):
    rng = np.random.default_rng(seed)
    m, n = values.shape
    ranks = np.zeros((m, m))
    wins = np.zeros((m, m))
    done = 0
    while done < SAMPLES:
        weights = rng.dirichlet(np.ones(n), 200_000)
        totals = weights @ values.T
        above = (totals[:, None, :] > totals[:, :, None]).sum(axis=2)
        for i in range(m):
            ranks[i] += np.bincount(above[:, i], minlength=m)
            for j in range(m):
                wins[i, j] += (totals[:, i] > totals[:, j]).sum()
        done += 200_000
    return ranks / SAMPLES, wins / SAMPLES


def tables():
    rng = np.random.default_rng(20260711)
    for m, n in [(2, 2), (3, 2), (3, 3), (4, 3), (4, 4), (5, 4), (6, 5), (3, 5)]:
        yield np.round(rng.uniform(0, 10, (m, n)), 2)


def work():
    out = []
    for k, values in enumerate(tables()):
        ranks, wins = sampled(values, k)
        first = [first_share(values, i) for i in range(values.shape[0])]
        assert abs(sum(first) - 1) < 1e-9, first
        assert np.abs(ranks[:, 0] - first).max() < 0.002, (ranks[:, 0], first)
        out.append({
            "values": values.tolist(),
            "first": [round(f, 9) for f in first],
            "ranks": np.round(ranks, 4).tolist(),
            "wins": np.round(wins, 4).tolist(),
        })
    return out


def main():
    found = work()
    if sys.argv[1] == "--check":
        with open(sys.argv[2], encoding="utf-8") as file:
            stored = json.load(file)
        for a, b in zip(found, stored["tables"], strict=True):
            assert a["values"] == b["values"]
            assert np.abs(np.array(a["first"]) - b["first"]).max() < 1e-6
            for key in ("ranks", "wins"):
                assert np.abs(np.array(a[key]) - np.array(b[key])).max() < 0.003, key
        print(f"{len(found)} tables agree")
    else:
        with open(sys.argv[1], "w", encoding="utf-8") as file:
            json.dump({"about": "Made by tests/oracle/weights.py with numpy and scipy (derived).", "tables": found}, file, indent=1)
            file.write("\n")


if __name__ == "__main__":
    main()
