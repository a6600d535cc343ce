"""Many sites on many workers: `coldcheck batch` over ranges of lines, carried by Dask.

    run.py SITES REPORTS --program coldcheck [--workers 2] [--lines-a-part 5000]
                         [--scheduler ADDRESS]

Each part is a range of lines that one call of the program judges (`--lines A-B`). Its reports go
into a file of their own beside REPORTS, first under another name, so that a part is there whole or
not at all. A run that was ended by anything is taken up again by the same command: parts that are
there are not judged again. In the end the parts are put together in order; the result is, byte for
byte, that of one call of the program.

The exit code is that of the worst part, as `coldcheck batch` has it: 5, 2, 3, 1, 4, 0.
"""

import argparse
import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

from distributed import Client, LocalCluster, as_completed

# The worst first; anything else means that the program itself failed.
EXIT_CODES = (5, 2, 3, 1, 4, 0)


def count_lines(path):
    """Lines of a file, the last one counted even without an end; and what tells it from others."""
    lines, last, digest = 0, b"\n", hashlib.sha256()
    with open(path, "rb") as file:
        while block := file.read(1 << 20):
            lines += block.count(b"\n")
            last = block[-1:]
            digest.update(block)
    return lines + (last != b"\n"), digest.hexdigest()


def judge(program, sites, first, last, target):
    """Judges a range of lines into a file. Runs on a worker."""
    target = Path(target)
    partial = target.with_suffix(f".{os.getpid()}.partial")
    call = [program, "batch", str(sites), "--lines", f"{first}-{last}", "--threads", "1"]
    with open(partial, "wb") as out:
        done = subprocess.run(call, stdin=subprocess.DEVNULL, stdout=out, stderr=subprocess.PIPE)
        out.flush()
        os.fsync(out.fileno())
    if done.returncode not in EXIT_CODES or done.stderr:
        partial.unlink()
        raise RuntimeError(f"lines {first}-{last}: {done.returncode}: {done.stderr.decode()}")
    # The code goes first: the reports stand for both.
    target.with_suffix(".code").write_text(str(done.returncode))
    os.replace(partial, target)
    return first


def parts_of(folder, lines, lines_a_part):
    """First line, last line and file of each part."""
    for first in range(1, lines + 1, lines_a_part):
        yield first, min(first + lines_a_part - 1, lines), folder / f"{first:012}.jsonl"


def run(arguments):
    sites, reports = Path(arguments.sites).resolve(), Path(arguments.reports).resolve()
    if reports.exists():
        sys.exit(f"error: {reports} is there already")
    lines, digest = count_lines(sites)
    # Parts of other sites, or cut in another way, are not taken for parts of these.
    mark = f"{digest[:16]}-{arguments.lines_a_part}"
    folder = reports.with_name(f"{reports.name}.{mark}.parts")
    folder.mkdir(exist_ok=True)
    parts = list(parts_of(folder, lines, arguments.lines_a_part))
    missing = [part for part in parts if not part[2].exists()]
    print(f"{lines} lines, {len(parts)} parts, {len(parts) - len(missing)} there", flush=True)
    if missing:
        carry(arguments, sites, missing)
    codes = [int(part[2].with_suffix(".code").read_text()) for part in parts]
    whole = reports.with_suffix(".partial")
    with open(whole, "wb") as out:
        for _, _, target in parts:
            with open(target, "rb") as part:
                shutil.copyfileobj(part, out)
    os.replace(whole, reports)
    shutil.rmtree(folder)
    return next(code for code in EXIT_CODES if code in (codes or [0]))


def carry(arguments, sites, missing):
    """Hands the missing parts to the workers; each is one process with one thread."""
    cluster = None
    address = arguments.scheduler
    if address is None:
        cluster = LocalCluster(
            n_workers=arguments.workers,
            threads_per_worker=1,
            processes=True,
            dashboard_address=None,
        )
        address = cluster
    with Client(address) as client:
        futures = [
            client.submit(
                judge, arguments.program, str(sites), first, last, str(target), pure=False
            )
            for first, last, target in missing
        ]
        for done, future in enumerate(as_completed(futures), 1):
            first = future.result()
            print(f"part from line {first} is there ({done} of {len(missing)})", flush=True)
    if cluster is not None:
        cluster.close()


def main():
    parser = argparse.ArgumentParser(description="coldcheck batch on many workers")
    parser.add_argument("sites")
    parser.add_argument("reports")
    parser.add_argument("--program", default="coldcheck")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--lines-a-part", type=int, default=5000)
    parser.add_argument("--scheduler", help="address of a running scheduler; else one is started")
    sys.exit(run(parser.parse_args()))


if __name__ == "__main__":
    main()
