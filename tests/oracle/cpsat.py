"""Checks the route engine's answers against a general constraint solver (OR-Tools CP-SAT).

Reads JSON lines from the example `routes_dump`. Problems marked `agree` are solved to the optimum
and compared; for those marked `better` the solver only looks for a route with fewer steps, under a
time limit. Exits with 1 on any disagreement. The model states the step rule on its own: a circuit
through the actions performed, tools held and covered carried along its arcs, positions for needs.

    routes_dump | python cpsat.py [PERFORMANCE.md]
"""

import json
import statistics
import sys
import time

from ortools.sat.python import cp_model

AGREE_LIMIT = 30.0
BETTER_LIMIT = 4.0
MARK = "## Side by side with CP-SAT"


def solve(problem, limit, below=None):
    """(status, steps) of the best route, or of any with fewer steps than `below`."""
    model = cp_model.CpModel()
    actions = problem["actions"]
    n = len(actions)
    providers = {}
    for a, action in enumerate(actions):
        given = list(action["frees"])
        if action["does"] is not None:
            given.append(action["does"])
        for thing in set(given):
            providers.setdefault(thing, []).append(a)
    if problem["target"] not in providers:
        return cp_model.INFEASIBLE, None

    x = [model.new_bool_var(f"x{a}") for a in range(n)]
    pos = [model.new_int_var(0, n, f"pos{a}") for a in range(n)]
    sets = sorted({tuple(t) for action in actions for t in action["with"] if t})
    none = len(sets)
    before = [[model.new_bool_var(f"b{a}_{s}") for s in range(none + 1)] for a in range(n)]
    after = [[model.new_bool_var(f"a{a}_{s}") for s in range(none + 1)] for a in range(n)]
    covered_before = [model.new_bool_var(f"cb{a}") for a in range(n)]
    covered_after = [model.new_bool_var(f"ca{a}") for a in range(n)]
    costs = []

    arcs = [(0, 0, model.new_bool_var("empty"))]
    for a in range(n):
        arcs.append((a + 1, a + 1, x[a].negated()))
        first = model.new_bool_var(f"first{a}")
        arcs.append((0, a + 1, first))
        model.add_implication(first, before[a][none])
        model.add_implication(first, covered_before[a].negated())
        arcs.append((a + 1, 0, model.new_bool_var(f"last{a}")))
        for b in range(n):
            if a == b:
                continue
            arc = model.new_bool_var(f"arc{a}_{b}")
            arcs.append((a + 1, b + 1, arc))
            model.add(pos[b] == pos[a] + 1).only_enforce_if(arc)
            for s in range(none + 1):
                model.add(before[b][s] == after[a][s]).only_enforce_if(arc)
            model.add(covered_before[b] == covered_after[a]).only_enforce_if(arc)
    model.add_circuit(arcs)

    for a, action in enumerate(actions):
        model.add_exactly_one(before[a])
        model.add_exactly_one(after[a])
        ends = bool(action["frees"])  # a part already off is never worth an action
        if ends:
            costs.append(x[a])
        uses = [tuple(t) for t in action["with"] if t]
        if not uses:
            for s in range(none + 1):
                model.add(before[a][s] == after[a][s])
            if ends:
                model.add(covered_after[a] == 1)
            else:
                model.add(covered_after[a] == covered_before[a])
            continue
        inner = sum(not set(v) <= set(u) for u, v in zip(uses, uses[1:]))
        if inner:
            costs.append(inner * x[a])
        change = model.new_bool_var(f"change{a}")
        costs.append(change)
        for s, held in enumerate(sets):
            if not set(uses[0]) <= set(held):
                model.add_bool_or(
                    [x[a].negated(), before[a][s].negated(), covered_before[a], change]
                )
        model.add(after[a][sets.index(uses[-1])] == 1)
        model.add(covered_after[a] == int(ends))

    def reached(thing, owner):
        """A literal that implies the thing is reached before the owner acts."""
        options = []
        for p in providers.get(thing, []):
            if p == owner:
                continue
            lit = model.new_bool_var("")
            model.add_implication(lit, x[p])
            if owner is not None:
                model.add(pos[p] < pos[owner]).only_enforce_if(lit)
            options.append(lit)
        lit = model.new_bool_var("")
        model.add_bool_or(options + [lit.negated()])
        return lit

    def holds(need, owner):
        if isinstance(need, int):
            return reached(need, owner)
        members = []
        for member in need["any"]:
            lit = model.new_bool_var("")
            for part in member:
                model.add_implication(lit, holds(part, owner))
            members.append(lit)
        lit = model.new_bool_var("")
        model.add_bool_or(members + [lit.negated()])
        return lit

    for a, action in enumerate(actions):
        for need in action["after"]:
            model.add_implication(x[a], holds(need, a))
    model.add(reached(problem["target"], None) == 1)
    total = sum(costs)
    if below is not None:
        model.add(total <= below - 1)
    else:
        model.minimize(total)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = limit
    solver.parameters.num_workers = 2
    solver.parameters.random_seed = 1
    status = solver.solve(model)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return status, round(sum(solver.value(c) for c in costs)) if found else None


def main():
    wrong = []
    agreed = unsettled = none_better = open_better = 0
    ratios = []
    for line in sys.stdin:
        problem = json.loads(line)
        name = f"{problem['kind']} {problem['seed']}"
        begun = time.perf_counter()
        if problem["kind"] == "agree":
            status, steps = solve(problem, AGREE_LIMIT)
            spent = time.perf_counter() - begun
            if status == cp_model.UNKNOWN or status == cp_model.FEASIBLE:
                unsettled += 1
                print(f"{name}: not settled in {AGREE_LIMIT} s, {len(problem['actions'])} actions")
                continue
            ratios.append(spent / problem["seconds"])
            if steps == problem["steps"] and problem["proved"]:
                agreed += 1
            else:
                wrong.append(f"{name}: engine {problem['steps']}, solver {steps}")
        else:
            status, steps = solve(problem, BETTER_LIMIT, below=problem["steps"])
            if status == cp_model.INFEASIBLE:
                none_better += 1
                print(f"{name}: {len(problem['actions'])} actions, {problem['steps']} steps, none better")
            elif status == cp_model.UNKNOWN:
                open_better += 1
                print(f"{name}: {len(problem['actions'])} actions, {problem['steps']} steps, "
                      f"none better found in {BETTER_LIMIT} s")
            else:
                wrong.append(f"{name}: engine {problem['steps']}, solver found {steps}")
    summary = [
        f"{agreed} instances of 8 to 18 actions agree, {unsettled} not settled by the solver; of "
        f"{none_better + open_better} with 24 to 30 actions {none_better} have proved no better "
        f"route, {open_better} none found within {BETTER_LIMIT:.0f} s each.",
    ]
    if ratios:
        summary.append(
            f"Solver time over engine time on the instances both settled: median "
            f"{statistics.median(ratios):.0f}, lowest {min(ratios):.0f}, highest {max(ratios):.0f}."
        )
    print("\n".join(summary))
    if len(sys.argv) > 1:
        try:
            with open(sys.argv[1], encoding="utf-8") as file:
                kept = file.read().split(MARK)[0].rstrip()
        except FileNotFoundError:
            kept = "# How long routes take"
        with open(sys.argv[1], "w", encoding="utf-8") as file:
            file.write(f"{kept}\n\n{MARK}\n\n" + "\n".join(summary) + "\n")
    for line in wrong:
        print("DISAGREES", line)
    return 1 if wrong or agreed == 0 else 0


sys.exit(main())
