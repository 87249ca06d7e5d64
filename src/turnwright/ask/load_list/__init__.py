"""Load lists and panel schedules as people keep them: headings mapped, rows read, nothing left out in silence."""
