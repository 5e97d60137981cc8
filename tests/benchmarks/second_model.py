"""How the built pages hold when a second model of the van answers them.

Run it from the project's folder after ``vandoc build``:
``python tests/benchmarks/second_model.py SITE VAN``, where SITE is the folder of the built manuals. For each
charge and kind of symptom it prints the walks, those located and those with one wrong name with the 95 %
interval by Wilson, the steps, and the walks of a healthy van that name a part. `--owner` walks the owner's
pages, `--slips 0.2` answers the first question wrongly in a fifth of the walks, `--show wrong` prints the
steps of such walks.
"""

import argparse
import sys
from pathlib import Path
from random import Random
from types import ModuleType

sys.modules["tests"] = ModuleType("tests")  # ours: some packages install one of that name
sys.modules["tests"].__path__ = [str(Path(__file__).parents[1])]

from tests.second_model.faults import faults  # noqa: E402 (found only then)
from tests.second_model.pages import steps  # noqa: E402
from tests.second_model.scoring import lines, share  # noqa: E402
from tests.second_model.van import draw_world  # noqa: E402
from tests.second_model.van_file import read  # noqa: E402
from tests.second_model.walking import Person, healthy  # noqa: E402


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("site", type=Path)
    asked.add_argument("van")
    asked.add_argument("--charges", default="15,30,60,90")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--every", type=int, default=1)
    asked.add_argument("--slips", type=float, default=0.0)
    asked.add_argument("--show", default="")
    asked.add_argument("--owner", action="store_true")
    given = asked.parse_args()
    drawing = read(Path("sites") / given.van / "van.yml")
    folder = given.site / given.van / ("fault" if given.owner else "electrician/fault")
    pages = {file.stem: steps(file.read_text("utf-8")) for file in sorted(folder.glob("*.html"))}
    everything, unseen, odd = [], 0, set()
    for charge in map(float, given.charges.split(",")):
        pick = Random(f"{given.seed} {given.van} {charge}")
        walks = []
        for fault in list(faults(drawing, pick))[pick.randrange(given.every) :: given.every]:
            person = Person(drawing, draw_world(drawing, charge, pick), fault, pick, given.slips)
            opened = person.looks_up(pages)
            unseen += not opened
            for symptom in opened:
                person = Person(drawing, person.world, fault, pick, given.slips)
                walks.append(person.walk(symptom, pages[symptom]))
                odd |= set(person.odd)
        everything += walks
        print("\n".join(lines(f"{given.van} {charge:.0f} %", walks)))
        fine = [
            one for _ in range(3) for one in healthy(drawing, draw_world(drawing, charge, pick), pick, pages)
        ]
        false = [one for one in fine if one.result != "end"]
        print(
            f"{given.van} {charge:.0f} % healthy: {len(fine)} walks, "
            f"false finds {share(len(false), len(fine))}"
        )
        everything += [one for one in false if given.show == "healthy"]
    print("\n".join(lines(f"{given.van} together", everything)))
    print(f"faults without a sign: {unseen}")
    for one in sorted(odd):
        print("could not be answered:", one)
    for one in everything:
        if given.show and (one.result == given.show or (given.show == "healthy" and one.fault == "sound")):
            print(f"\n{one.result}: {one.fault} on {one.symptom}", *one.way, sep="\n    ")


if __name__ == "__main__":
    main()
