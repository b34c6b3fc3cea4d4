"""The work of batch.rs as a plain script: read records with PyYAML, find prerequisites with networkx, score two ways, write
CSV. It takes every action that may be needed, in the order of the log, and counts removals and tool changes; it proves
nothing, has no ranges and gives no reasons. Usage: batch.py DIRECTORY. The last line is the rate in records a second.
"""
import csv
import io
import pathlib
import sys
import time

import networkx
import yaml

WEIGHTS = {
    "battery": 0.25, "display assembly": 0.25, "hinge assembly": 0.18, "back cover": 0.08, "front camera": 0.04,
    "rear camera": 0.04, "charging port": 0.04, "button": 0.04, "microphone": 0.04, "speaker": 0.04,
}
KINDS = {"reusable": 5, "resupplied": 3, "removable": 1, "neither": 1}


def listed(value):
    return value if isinstance(value, list) else [] if value is None else [value]


def needs(value):
    for item in listed(value):
        if isinstance(item, dict):
            yield from needs(next(iter(item.values())))
        elif isinstance(item, list):
            yield from needs(item)
        else:
            yield item


def graph(record):
    found = networkx.DiGraph()
    ways = {}
    for number, action in enumerate(record["actions"]):
        found.add_node(number)
        for name in listed(action.get("free", action.get("do"))):
            ways.setdefault(name, []).append(number)
    for number, action in enumerate(record["actions"]):
        for name in needs(action.get("after")):
            for way in ways.get(name, [])[:1]:
                found.add_edge(way, number)
    return found, ways


def steps(record, route):
    held, count = None, 0
    for number in route:
        action = record["actions"][number]
        for tool in listed(action.get("with")):
            if tool != "hands":
                if held is not None and tool != held:
                    count += 1
                held = tool
        if "free" in action:
            count, held = count + 1, None
    return count


def worst(record, route):
    points = 5
    for number in route:
        for item in listed(record["actions"][number].get("loosen")):
            if isinstance(item, dict):
                points = min(points, KINDS.get(str(item.get("kind", "reusable")).split(" ")[0], 1))
    return points


def score(record):
    found, ways = graph(record)
    depth = fasteners = 0.0
    for name, part in record["parts"].items():
        for role in listed((part or {}).get("role")):
            weight = WEIGHTS.get(role, 0.0)
            if not weight or name not in ways:
                continue
            route = sorted(networkx.ancestors(found, ways[name][0]) | {ways[name][0]})
            n = steps(record, route)
            depth += weight * (5 if n <= 2 else 4 if n <= 5 else 3 if n <= 10 else 2 if n <= 15 else 1)
            fasteners += weight * worst(record, route)
    years = int(str(record["support"]["updates"]).split()[0])
    updates = 5 if years >= 7 else 3 if years >= 6 else 1
    first = 0.25 * depth + 0.15 * fasteners + 0.15 * updates
    return first, 2 * first


def main():
    files = sorted(pathlib.Path(sys.argv[1]).glob("*.yaml"))
    out = csv.writer(io.StringIO())
    start = time.perf_counter()
    for file in files:
        record = yaml.safe_load(file.read_text(encoding="utf-8"))
        for method, value in zip(("a", "b"), score(record), strict=True):
            out.writerow([file.name, record["device"]["name"], method, f"{value:.2f}"])
    print(len(files) / (time.perf_counter() - start))


if __name__ == "__main__":
    main()
