"""Papers that leave the desk: memo, specification, schedule, checklist, labels; and reading one back.

A paper is one `Report`, built from the result and its working, never computed again. Writers turn a report
into HTML, PDF or plain structure; a schedule also into a workbook and CSV.
"""
