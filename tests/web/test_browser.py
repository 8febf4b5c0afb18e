"""A person at the tablet: the main job by hand, mistakes, narrow and dark screens."""

from __future__ import annotations

from pathlib import Path

from .conftest import SEAT, Watched


def test_the_main_job_is_done_from_the_first_form(page: Watched) -> None:
    at = page.page
    at.goto("/")
    form = at.locator("form[action='/seat']")
    form.get_by_label("Bore readings, 1").fill("38.05")
    form.get_by_label("Bore readings, 2").fill("1.4984 in")
    form.locator("select[name=head]").select_option("al-si7mg-t6")
    form.get_by_label("Ring material").select_option("sintered-tool-steel")
    form.get_by_label("Position").select_option("exhaust")
    form.get_by_label("Depth of the counterbore").fill("8.2")
    form.get_by_role("button").click()
    bench = at.locator(".bench")
    for line in ("ring", "bore to", "depth", "press", "heat and chill", "lets go"):
        assert bench.get_by_text(line, exact=True).count() == 1, line
    assert " in)" in bench.inner_text()
    assert at.locator(".red .danger").count() <= 3
    assert at.url.count("bore=") == 4, "the address holds the question"
    assert at.locator(".versions").inner_text().startswith("Data release")


def test_a_figure_opens_to_its_source(page: Watched) -> None:
    at = page.page
    at.goto("/material/al-si7mg-t6")
    at.locator(".mark").first.click()
    note = at.locator(".notes > li:target")
    assert note.locator(".seen").count() == 1
    row = note.locator("ul a").first
    wanted = row.inner_text()
    row.click()
    assert at.locator(f"text={wanted}").count() >= 1
    at.locator("dd a[href^='/source/']").first.click()
    assert "/source/" in at.url
    assert at.locator("h2", has_text="Rows it gave").count() == 1


def test_a_wrong_reading_comes_back_with_the_reason_beside_it(page: Watched) -> None:
    at = page.page
    at.goto("/")
    form = at.locator("form[action='/seat']")
    form.get_by_label("Bore readings, 1").fill("38.05 kg")
    form.locator("select[name=head]").select_option("grey-iron-gjl-250")
    form.get_by_label("Ring material").select_option("sintered-plain")
    form.get_by_label("Depth of the counterbore").fill("9")
    form.get_by_role("button").click()
    again = at.locator("form[action='/seat']")
    assert again.get_by_label("Bore readings, 1").input_value() == "38.05 kg"
    assert again.locator("select[name=head]").input_value() == "grey-iron-gjl-250"
    assert again.get_by_label("Depth of the counterbore").input_value() == "9"
    wrong = again.locator(".wrong")
    assert wrong.count() == 1
    assert "38.05 kg" in wrong.locator(".error").inner_text()
    assert wrong.locator("[aria-invalid=true]").first.get_attribute("aria-describedby")
    page.said = [each for each in page.said if "400" not in each]  # the browser notes the status


def test_a_pasted_table_plans_a_head(page: Watched) -> None:
    at = page.page
    at.goto("/head")
    form = at.locator("form[action='/head']")
    form.locator("textarea").fill(
        "label,position,bore_1,bore_2,depth\n1E,exhaust,38.05,38.06,8.2\n2E,exhaust,38.07,38.08,8.2\n"
    )
    form.locator("select[name=head]").select_option("al-si7mg-t6")
    form.locator("select[name=insert]").select_option("sintered-tool-steel")
    form.get_by_role("button", name="Ask").click()
    assert at.locator(".bench").count() >= 2


def test_an_uploaded_table_comes_back_with_the_reason_beside_its_field(page: Watched) -> None:
    at = page.page
    at.goto("/head")
    table = "label,bore_1,depth\n1E,38.05,8.2\n"
    form = at.locator("form[action='/head']")
    file = {"name": "head.csv", "mimeType": "text/csv", "buffer": table.encode()}
    form.locator("input[type=file]").set_input_files(file)  # type: ignore[arg-type]
    form.locator("select[name=insert]").select_option("sintered-plain")
    form.locator("summary").click()
    form.get_by_label("Heat limit").fill("warm")
    form.get_by_role("button", name="Ask").click()
    again = at.locator("form[action='/head']")
    assert again.locator("textarea").input_value() == table
    assert again.locator("select[name=insert]").input_value() == "sintered-plain"
    assert again.get_by_label("Heat limit").input_value() == "warm"
    wrong = again.locator(".wrong")
    assert wrong.locator("input").get_attribute("name") == "heat_limit"
    assert "warm" in wrong.locator(".error").inner_text()
    page.said = [each for each in page.said if "400" not in each]  # the browser notes the status


def test_the_phone_shows_the_plan_within_reach(page: Watched, tmp_path: Path) -> None:
    at = page.page
    at.set_viewport_size({"width": 360, "height": 780})
    at.goto(SEAT)
    top = at.locator(".bench").bounding_box()
    assert top is not None
    assert top["y"] < 300, "the ring and the bore come at once"
    assert top["y"] + top["height"] <= 780, "and all of it is one screen"
    picture = at.screenshot(path=str(tmp_path / "phone.png"))
    assert len(picture) > 10_000


def test_it_prints_without_its_forms(page: Watched) -> None:
    at = page.page
    at.emulate_media(media="print")
    at.goto(SEAT)
    assert not at.locator(".top").is_visible()
    assert not at.locator("form.ask").is_visible()
    assert at.locator(".bench").is_visible()


def test_it_works_with_scripts_turned_off(browser: object, served: str) -> None:
    context = browser.new_context(base_url=served, java_script_enabled=False)  # type: ignore[attr-defined]
    at = context.new_page()
    at.goto("/")
    at.locator("details.card summary").first.click()
    at.locator("details.card[open] select").first.select_option("al-si7mg-t6")
    at.locator("details.card[open] button").first.click()
    assert "material=al-si7mg-t6" in at.url
    assert at.locator("svg.drawing title").count() >= 1
    context.close()


def test_the_sheet_and_the_section_are_a_click_away(page: Watched) -> None:
    at = page.page
    at.goto(SEAT)
    drawn = at.locator("figure.on-paper svg")
    assert drawn.count() == 1
    assert drawn.locator("title").first.text_content()
    at.get_by_role("link", name="The bench sheet, to print").click()
    assert "sheet=bench" in at.url
    assert at.locator("text=38.05").count() >= 1
    at.goto(f"{SEAT}&sheet=record")
    assert at.locator("svg, table").count() >= 1
