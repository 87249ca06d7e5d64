"""All made pages: methods, rules, tables, commands, keys, names, refusals, packages."""

from docs.made.codes import codes_page
from docs.made.commands import commands_page
from docs.made.job_file import job_file_page, unit_file_page
from docs.made.methods import method_pages
from docs.made.names import names_page
from docs.made.nomenclature import nomenclature_page
from docs.made.packages import packages_page, picture
from docs.made.rules import rule_pages
from docs.made.tables import table_pages


def made_pages() -> dict[str, str]:
    """Return every made page: path below the folder of pages -> text."""
    return {
        **method_pages(),
        **rule_pages(),
        **table_pages(),
        "reference/commands.md": commands_page(),
        "reference/job-file.md": job_file_page(),
        "reference/unit-file.md": unit_file_page(),
        "reference/python.md": names_page(),
        "reference/nomenclature.md": nomenclature_page(),
        "reference/refusals.md": codes_page(),
        "reference/packages.md": packages_page(),
        "reference/packages.svg": picture(),
    }
