"""Who may do what on pages, written out: one row a call, one column a caller, as in ``matrix``."""

from tests.doors.row import OF_TEASEL, OF_THE_FAT, Row
from tests.doors.scene import excepted, girth_and_length, local, sheet, weight

FAT_TEASEL = {**OF_THE_FAT, "id": "Teasel"}
FAT_TOP_BARN = {**OF_THE_FAT, "id": "Top Barn"}

PAGES = (
    Row("GET", "account_login", "302 302 302 302 302 - 302 200"),
    Row("POST", "account_login", "302 302 302 302 302 - 302 200"),
    Row("GET", "account_logout", "200 200 200 200 200 - 200 302"),
    Row("POST", "account_logout", "302 302 302 302 302 - 302 302"),
    # The second step of a sign-in that nobody has begun.
    Row("GET", "mfa_authenticate", "302 302 302 302 302 - 302 302"),
    # The yard's own pages.
    Row("GET", "scoring:board", "200 200 200 200 200 - 200 302"),
    Row("GET", "scoring:wall", "200 200 200 200 200 - 200 302"),
    # A kept view is its keeper's own: nobody else of the organisation may know of it.
    Row(
        "POST",
        "scoring:keep_view",
        "303 303 303 303 303 - 303 302",
        body=lambda _: {"name": "Thin", "place": "below"},
    ),
    Row("POST", "scoring:remove_view", "303 404 404 404 404 - 404 302", {"id": "view"}),
    Row("GET", "scoring:score", "200 200 200 200 403 - 404 302", OF_TEASEL),
    Row("POST", "scoring:score", "303 303 303 303 403 - 404 302", OF_TEASEL, lambda _: sheet()),
    Row("GET", "scoring:scored", "200 200 200 200 200 - 404 302", {"id": "assessment"}),
    Row("GET", "scoring:alerts", "200 200 200 200 200 - 200 302"),
    Row("GET", "scoring:alert", "200 200 200 200 200 - 404 302", {"id": "danger_signs"}),
    Row("GET", "scoring:acknowledge", "200 200 200 200 200 - 404 302", {"id": "danger_signs"}),
    Row(
        "POST",
        "scoring:acknowledge",
        "303 303 303 303 403 - 404 302",
        {"id": "danger_signs"},
        lambda _: {"next_step": "Vet called, on her way"},
    ),
    Row("GET", "scoring:resolve", "200 200 200 200 200 - 404 302", {"id": "danger_signs"}),
    Row(
        "POST",
        "scoring:resolve",
        "303 403 403 303 403 - 404 302",
        {"id": "danger_signs"},
        lambda _: {"reason": "Seen by the vet", "vet_said": "Sound, eating again"},
    ),
    # The first press previews; only what was previewed is saved.
    Row("GET", "scoring:rules", "200 200 200 200 200 - 200 302"),
    Row("GET", "scoring:rule", "200 200 200 200 200 - 200 302", OF_THE_FAT),
    Row(
        "POST",
        "scoring:rule",
        "303 403 403 403 403 - 303 302",
        OF_THE_FAT,
        lambda _: {
            "on": "false",
            "reason": "Misread the sheet",
            "version": "1",
            "press": "save",
            "previewed": '{"on":false,"rule":"fat","thresholds":{}}',
        },
    ),
    Row("GET", "scoring:except_horse", "200 403 403 200 403 - 404 302", FAT_TEASEL),
    Row(
        "POST",
        "scoring:except_horse",
        "303 403 403 303 403 - 404 302",
        FAT_TEASEL,
        lambda _: excepted(),
    ),
    Row("GET", "scoring:except_yard", "200 403 403 403 403 - 404 302", FAT_TOP_BARN),
    Row(
        "POST",
        "scoring:except_yard",
        "303 403 403 403 403 - 404 302",
        FAT_TOP_BARN,
        lambda _: excepted(),
    ),
    Row("GET", "scoring:end_exception", "200 403 403 200 403 - 404 302", {"id": "exception"}),
    Row(
        "POST",
        "scoring:end_exception",
        "303 403 403 303 403 - 404 302",
        {"id": "exception"},
        lambda _: {"reason": "A mistake"},
    ),
    # What a phone keeps holds nobody's data, so anybody may have it.
    *(
        Row("GET", f"scoring:{name}", "200 200 200 200 200 - 200 200")
        for name in (
            *("worker", "manifest", "score_five", "score_nine", "score_donkey"),
            *("facing", "unknown", "sending", "away"),
        )
    ),
    # Help is nobody's data too.
    *(
        Row("GET", f"scoring:help{key}", "200 200 200 200 200 - 200 200")
        for key in (
            *("", "_feeling", "_five", "_nine", "_donkey", "_crest", "_tape", "_words", "_who"),
        )
    ),
    Row("GET", "scoring:rounds", "200 200 200 200 403 - 200 302"),
    Row("GET", "scoring:round", "200 200 200 200 403 - 404 302", {"id": "Top Barn"}),
    Row("GET", "scoring:round_order", "200 200 200 200 403 - 404 302", {"id": "Top Barn"}),
    Row(
        "POST",
        "scoring:round_order",
        "303 303 303 303 403 - 404 302",
        {"id": "Top Barn"},
        lambda scene: {"version": "1", f"place.{scene['Teasel']}": "1"},
    ),
    Row("GET", "scoring:due", "200 200 200 200 200 - 200 302"),
    *(
        Row("GET", f"scoring:herd{view}{file}", "200 200 200 200 200 - 200 302")
        for view in ("", "_seasons", "_shares", "_due")
        for file in ("", "_csv")
    ),
    Row("GET", "scoring:horse", "200 200 200 200 200 - 404 302", OF_TEASEL),
    Row("GET", "scoring:readings", "200 200 200 200 200 - 404 302", OF_TEASEL),
    Row("GET", "scoring:weights", "200 200 200 200 200 - 404 302", OF_TEASEL),
    Row("GET", "scoring:values", "200 200 200 200 200 - 404 302", OF_TEASEL),
    Row("GET", "scoring:readings_csv", "200 200 200 200 200 - 404 302", OF_TEASEL),
    Row("GET", "scoring:readings_json", "200 200 200 200 200 - 404 302", OF_TEASEL),
    Row("GET", "scoring:correct", "200 200 200 200 403 - 404 302", {"id": "assessment"}),
    Row(
        "POST",
        "scoring:correct",
        "303 303 303 303 403 - 404 302",
        {"id": "assessment"},
        lambda _: {**sheet(), "reason": "Misread the sheet"},
    ),
    Row("GET", "scoring:weigh", "200 200 200 200 403 - 404 302", OF_TEASEL),
    Row("POST", "scoring:weigh", "303 303 303 303 403 - 404 302", OF_TEASEL, lambda _: weight()),
    Row("GET", "scoring:measure", "200 200 200 200 403 - 404 302", OF_TEASEL),
    Row(
        "POST",
        "scoring:measure",
        "303 303 303 303 403 - 404 302",
        OF_TEASEL,
        lambda _: girth_and_length(),
    ),
    Row("GET", "scoring:weighed", "200 200 200 200 200 - 404 302", {"id": "weighing"}),
    Row("GET", "scoring:correct_weighing", "200 200 200 200 403 - 404 302", {"id": "weighing"}),
    Row(
        "POST",
        "scoring:correct_weighing",
        "303 303 303 303 403 - 404 302",
        {"id": "weighing"},
        lambda _: {**weight(), "reason": "Misread the tape"},
    ),
    Row("GET", "scoring:concern", "200 200 200 200 403 - 404 302", OF_TEASEL),
    Row(
        "POST",
        "scoring:concern",
        "303 303 303 303 403 - 404 302",
        OF_TEASEL,
        lambda _: {"note": "Dull, standing apart", "seen_at": local(hours=1)},
    ),
    Row("GET", "scoring:vet_order", "403 403 403 200 403 - 404 302", OF_TEASEL),
    Row(
        "POST",
        "scoring:vet_order",
        "403 403 403 303 403 - 404 302",
        OF_TEASEL,
        lambda _: {"score_days": "7", "reason": "Feeding up", "until": local(days=-30)[:10]},
    ),
    Row("GET", "scoring:end_order", "403 403 403 200 403 - 404 302", {"id": "order"}),
    Row(
        "POST",
        "scoring:end_order",
        "403 403 403 303 403 - 404 302",
        {"id": "order"},
        lambda _: {"reason": "Well again"},
    ),
    # The day list is the vet's and the coordinator's; neither assessors nor auditors have it.
    Row("GET", "scoring:visit", "200 403 403 200 403 - 200 302"),
    # Staff ask, the vet answers; the scene's question is Tobias Wren's, or a coordinator's to end.
    Row("GET", "scoring:questions", "200 200 200 200 200 - 404 302", OF_TEASEL),
    Row("GET", "scoring:ask", "200 200 200 403 403 - 404 302", OF_TEASEL),
    Row(
        "POST",
        "scoring:ask",
        "303 303 303 403 403 - 404 302",
        OF_TEASEL,
        lambda _: {"text": "Is the cough worth a visit?"},
    ),
    Row("GET", "scoring:answer", "403 403 403 200 403 - 404 302", {"id": "question"}),
    Row(
        "POST",
        "scoring:answer",
        "403 403 403 303 403 - 404 302",
        {"id": "question"},
        lambda _: {"text": "Yes, from the elbow down"},
    ),
    Row("GET", "scoring:withdraw", "200 403 200 403 403 - 404 302", {"id": "question"}),
    Row(
        "POST",
        "scoring:withdraw",
        "303 403 303 403 403 - 404 302",
        {"id": "question"},
        lambda _: {"reason": "Seen to already"},
    ),
    # Clinical notes are between vets and coordinators.
    Row("GET", "scoring:notes", "200 403 403 200 403 - 404 302", OF_TEASEL),
    Row("GET", "scoring:write_note", "403 403 403 200 403 - 404 302", OF_TEASEL),
    Row(
        "POST",
        "scoring:write_note",
        "403 403 403 303 403 - 404 302",
        OF_TEASEL,
        lambda _: {"text": "Teeth rasped"},
    ),
    Row("GET", "scoring:correct_note", "403 403 403 200 403 - 404 302", {"id": "note"}),
    Row(
        "POST",
        "scoring:correct_note",
        "403 403 403 303 403 - 404 302",
        {"id": "note"},
        lambda _: {"text": "Teeth rasped, wolf tooth drawn", "reason": "Left out the tooth"},
    ),
    Row("GET", "yards:settings", "200 200 200 200 200 - 200 302"),
    Row(
        "POST",
        "yards:settings",
        "303 303 303 303 303 - 303 302",
        body=lambda _: {
            "language": "en-gb",
            "weight_unit": "lb",
            "length_unit": "in",
            "height_unit": "hands",
        },
    ),
    Row("GET", "yards:organisation", "200 403 403 403 403 - 200 302"),
    Row(
        "POST",
        "yards:organisation",
        "303 403 403 403 403 - 303 302",
        body=lambda _: {"overall_rule": "pelvis_led", "version": "1"},
    ),
    Row("GET", "yards:horses", "200 200 200 200 200 - 200 302"),
    Row("GET", "yards:add_horse", "200 200 200 200 403 - 200 302"),
    Row(
        "POST",
        "yards:add_horse",
        "303 303 303 303 403 - 422 302",
        body=lambda scene: {"name": "Pepperwort", "species": "horse", "yard": scene["Top Barn"]},
    ),
    Row("GET", "yards:change_horse", "200 403 403 403 403 - 404 302", OF_TEASEL),
    Row(
        "POST",
        "yards:change_horse",
        "303 403 403 403 403 - 404 302",
        {"id": "Sorrel Lad"},
        lambda _: {"name": "Sorrel", "version": "1"},
    ),
    # Whoever goes up to a horse may say what the next must know.
    Row("GET", "yards:handling", "200 200 200 200 403 - 404 302", OF_TEASEL),
    Row(
        "POST",
        "yards:handling",
        "303 303 303 303 403 - 404 302",
        {"id": "Sorrel Lad"},
        lambda _: {"handling": "Kicks", "version": "1"},
    ),
    Row("GET", "yards:move_horse", "200 403 403 403 403 - 404 302", OF_TEASEL),
    Row(
        "POST",
        "yards:move_horse",
        "303 403 403 403 403 - 404 302",
        OF_TEASEL,
        lambda scene: {"yard": scene["Sallow Field"]},
    ),
    Row("GET", "yards:add_event", "200 200 200 200 403 - 404 302", OF_TEASEL),
    Row(
        "POST",
        "yards:add_event",
        "303 303 303 303 403 - 404 302",
        OF_TEASEL,
        lambda _: {"kind": "clipped", "at": local(hours=1)},
    ),
    Row("GET", "yards:merge_horse", "200 403 403 403 403 - 404 302", {"id": "stray"}),
    Row(
        "POST",
        "yards:merge_horse",
        "303 403 403 403 403 - 404 302",
        {"id": "stray"},
        lambda scene: {"into": scene["Teasel"]},
    ),
    Row("GET", "yards:yards", "200 200 200 200 200 - 200 302"),
    Row("GET", "yards:add_yard", "200 403 403 403 403 - 200 302"),
    Row(
        "POST",
        "yards:add_yard",
        "303 403 403 403 403 - 303 302",
        body=lambda _: {"name": "New", "time_zone": "Europe/London", "hemisphere": "north"},
    ),
    Row("GET", "yards:change_yard", "200 403 403 403 403 - 404 302", {"id": "Sallow Field"}),
    Row(
        "POST",
        "yards:change_yard",
        "303 403 403 403 403 - 404 302",
        {"id": "Sallow Field"},
        lambda _: {
            "name": "Sallow",
            "time_zone": "Europe/London",
            "hemisphere": "north",
            "version": "1",
        },
    ),
    Row("GET", "yards:people", "200 403 403 403 403 - 200 302"),
    Row("GET", "yards:issue_grant", "200 403 403 403 403 - 200 302"),
    Row(
        "POST",
        "yards:issue_grant",
        "303 403 403 403 403 - 303 302",
        body=lambda _: {"person": "jonty@example.org", "role": "assessor", "all_yards": "true"},
    ),
    Row("GET", "yards:revoke_grant", "200 403 403 403 403 - 404 302", {"id": "grant"}),
    Row(
        "POST",
        "yards:revoke_grant",
        "303 403 403 403 403 - 404 302",
        {"id": "grant"},
        lambda _: {"reason": "Has left"},
    ),
    # One's own, for everybody; another's, for coordinators. The token is Maud's phone's.
    Row("GET", "yards:tokens", "200 200 200 200 200 - 200 302"),
    Row("GET", "yards:issue_token", "200 200 200 200 403 - 200 302"),
    Row(
        "POST",
        "yards:issue_token",
        "200 200 200 200 403 - 200 302",
        body=lambda _: {"label": "Barn phone", "device": "true"},
    ),
    Row("GET", "yards:revoke_token", "200 200 403 403 403 - 404 302", {"id": "token"}),
    Row("POST", "yards:revoke_token", "303 303 403 403 403 - 404 302", {"id": "token"}),
    Row("GET", "yards:record", "200 403 403 200 200 - 200 302"),
    Row("GET", "yards:entry", "200 403 403 200 200 - 404 302", {"id": "entry"}),
    Row("GET", "health_live", "200 200 200 200 200 - 200 200"),
    Row("GET", "health_ready", "200 200 200 200 200 - 200 200"),
)
