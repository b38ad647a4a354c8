"""The phone works out what the server does: the shared cases by its own scripts, in a browser.

The server's side is ``tests/rules/test_phone_cases.py``: the same files, the same answers.
"""

from typing import Any

from scoring.pages import labels
from tests.browser import steps
from tests.browser.conftest import PHONE, Open
from yards.rules import fixture

RULES = "/static/scoring/round/rules/"
HOW = {
    "overall_cases": "(each, { overall }) => overall.summed(each)",
    "place_cases": """(each, { overall }, data) => ({
        ...overall.placed(each.nearest, each.band),
        why: overall.whyPlaced(data, each.nearest, each.band),
    })""",
    "chosen_cases": "(each, { overall }) => overall.beside(each)",
    "last_weight_cases": """(each, { weight_last }) =>
        weight_last.isFar(each.kg, each.last_kg, each.days, each.months)""",
    "unit_cases": """(each, { units }) => each.do === "stored"
        ? units.stored(each.text, each.unit) : units.shown(Number(each.text), each.unit)""",
    "sheet_cases": "(each, { sheet }) => sheet.reading(each.values, each.zone)",
    "formula_cases": """(each, { age, formula }, data) => {
        if (each.born) {
          const [year, month, day] = each.on.split("-").map(Number);
          return age.monthsOld(age.born(each.born), new Date(year, month - 1, day));
        }
        if (each.fitting) return formula.fitting(data, each.animal).map((row) => row.id);
        return formula.estimate(data, each.formula, each.measures, each.animal);
    }""",
}
ALL = """async ([folder, cases, data]) => {
  const names = ["overall", "units", "sheet", "age", "formula", "weight_last"];
  const made = await Promise.all(names.map((name) => import(`${folder}${name}.js`)));
  const rules = Object.fromEntries(names.map((name, at) => [name, made[at]]));
  const work = %s;
  return cases.map((each) => work(each, rules, data));
}"""


def test_the_phone_answers_every_shared_case_as_the_server_does(opened: Open) -> None:
    page = opened(PHONE)
    steps.sign_in(page, "maud")
    data = {**fixture.load("weight_formulas"), **fixture.load("weight_guards")}
    data |= {f"why_{place}": said for place, said in labels.why_placed().items()}
    for name, how in HOW.items():
        cases: list[dict[str, Any]] = fixture.load(name)["cases"]
        sent = [{key: value for key, value in each.items() if key != "told"} for each in cases]
        told = page.evaluate(ALL % how, [RULES, sent, data])
        for case, found in zip(cases, told, strict=True):
            assert found == case["told"], (name, case)
