"""Scores records by Spark's `pipe` and by one plain run of the command, and compares: `cluster.py PROGRAM RECORDS`.

A partition is a run of its own, so the line a record stands on differs; everything else must be the same, record by record.
"""

import json
import os
import subprocess
import sys
import tempfile
import time

from pyspark.sql import SparkSession


def record(i):
    """One device of its own: other promises, other fasteners; of every third nobody looked up what its maker promises."""
    to = ["public", "independent repairers", "authorised repairers"][i // 3 % 3]
    part = {"to": to, "years": f"{i % 13} years", "interface": "non-standard interface", "pairing": "not needed"}
    promised = {
        "updates": f"{i % 11} years",
        "spare parts": {"lid": part, "cell": part},
        "information": {"to": to, "scope": "basic", "cost": "free"},
        "diagnosis": "public codes",
        "return options": "none",
        "data transfer and deletion": "built in",
        "reset": "integrated",
    }
    return {
        "unfasten": 1,
        "device": {"name": f"Lamp {i}", "maker": "Ostrel", "category": "other"},
        "parts": {"lid": {"role": "lid"}, "cell": {"role": "cell", "hazard": "lithium cell"}},
        "roles": {"lid": {"weight": 1}, "cell": {"weight": 2}},
        "actions": [
            {"free": "lid", "with": "PH0", "loosen": [f"{1 + i % 9} x screw PH0"], "after": []},
            {"free": "cell", "with": "hands" if i % 3 else "unknown", "loosen": "clip", "after": "lid"},
        ],
        "support": promised if i % 3 else {"updates": promised["updates"]},
    }


def told(line):
    """What a line says of a device, without where it stood."""
    found = json.loads(line)
    keys = ["method", "low", "high", "exact_low", "exact_high", "attained", "fingerprint"]
    return found["device"], tuple(str(a.get(k)) for a in found["assessments"] for k in keys)


def main():
    program, count = os.path.abspath(sys.argv[1]), int(sys.argv[2])
    command = [program, "score", "-", "--method", "en-45554", "--format", "jsonl"]
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "records.jsonl")
        with open(path, "w", encoding="utf-8") as file:
            for i in range(count):
                file.write(json.dumps(record(i)) + "\n")
        clock = time.monotonic()
        # Line by line: all of it is some gigabytes.
        with open(path, "rb") as file, subprocess.Popen(command, stdin=file, stdout=subprocess.PIPE) as run:
            plain = [told(line) for line in run.stdout]
        if run.returncode != 0:
            sys.exit(f"the plain run ended with code {run.returncode}")
        alone = time.monotonic() - clock
        spark = SparkSession.builder.master("local[*]").appName("records").config("spark.ui.enabled", "false").getOrCreate()
        spark.sparkContext.setLogLevel("ERROR")
        clock = time.monotonic()
        lines = spark.sparkContext.textFile(path, minPartitions=8)
        # Only what is compared comes back to the driver, which holds a gigabyte.
        piped = lines.pipe(" ".join(command + ["--threads", "1"]), checkCode=True).map(told).collect()
        spread = time.monotonic() - clock
        parts = lines.getNumPartitions()
        spark.stop()
    if len(plain) != count or sorted(plain) != sorted(piped):
        sys.exit(f"the two differ: {len(plain)} and {len(piped)} lines for {count} records")
    print(f"{count} records: {alone:.1f} s by one run, {spread:.1f} s in {parts} partitions; the same results")


if __name__ == "__main__":
    main()
