"""What is known of a place, for a terminal: where each thing comes from, and how old it is."""

from collections.abc import Sequence

from pickrig.facts import Quantity, Ruled, Said
from pickrig.inputs.site import Site
from pickrig.inputs.survey import Survey, group_of
from pickrig.report.plain_text import section, window, wrapped
from pickrig.report.words.voice import ENGLISH, Voice
from pickrig.rulebook import Rules


def as_site_text(site: Site, survey: Survey | None, rules: Rules, voice: Voice = ENGLISH) -> str:
    """Name, ground, files with their age, and what was found there before."""
    width = window()
    lines = [*wrapped(site.name, width), *(wrapped(site.note, width) if site.note else []), ""]
    sections: dict[str, Sequence[Said]] = {
        "site_ground": [*_soil(site, survey, rules), *_ground(site, rules)],
        "site_files": _files(site),
        "site_visits": [Said("site.visit", date=visit.date, note=visit.note) for visit in site.visit],
    }
    for head, statements in sections.items():
        lines += section(voice.text(head), [voice.say(said) for said in statements], width)
    return "\n".join(lines).rstrip() + "\n"


def _soil(site: Site, survey: Survey | None, rules: Rules) -> list[Said]:
    if site.ground.soil is not None:
        return [Said("site.soil", soil=site.ground.soil)]
    if survey is None:
        return [Said("site.no_soil")]
    told = [Said("survey.before")]
    for one in sorted(survey.components, key=lambda one: -one.share):
        share = Quantity(one.share, "share")
        if one.layers:
            soil = Ruled(rules.soils[group_of(one.layers[0], rules)].name)
            told.append(Said("site.component", name=one.name, share=share, soil=soil, drains=one.drainage))
        else:
            told.append(Said("site.no_layers", name=one.name, share=share))
    return told


def _ground(site: Site, rules: Rules) -> list[Said]:
    told = [Said(f"site.land_{site.ground.land.replace(' ', '_')}")]
    row = rules.drainage.get(site.ground.drainage or "")
    told.append(Said("site.drains_unknown") if row is None else Said("site.drains", how=Ruled(row.says)))
    if site.access.gate is not None:
        told.append(Said("site.gate", width=Quantity(site.access.gate, "length")))
    return told


def _files(site: Site) -> list[Said]:
    files = {"survey": site.ground.survey, "past": site.weather.past, "forecast": site.weather.forecast}
    told = []
    for what, file in files.items():
        if file is None:
            told.append(Said(f"site.lacks_{what}"))
            continue
        at = site.fetched(file)
        told.append(Said("site.file", file=file) if at is None else Said("site.file_at", file=file, date=at))
    return told
