/* The parts of the page, in the files page_*.c; page.c puts them in order. */
#ifndef THAW_OUTPUT_PAGE_PARTS_OF_H
#define THAW_OUTPUT_PAGE_PARTS_OF_H

#include "output/page_write.h"

/* The numbers that matter most, beside the picture. */
void thaw_part_facts(thaw_html *h, const thaw_page *page);
/* All numbers with their spread, the dyes, the colours. */
void thaw_part_figures(thaw_html *h, const thaw_page *page);
/* What was foretold beside what was seen. */
void thaw_part_record(thaw_html *h, const thaw_page *page);
/* Frames of the melt and the curve of the ice. */
void thaw_part_melt(thaw_html *h, const thaw_page *page);
/* Materials, timetable and cautions. */
void thaw_part_plan(thaw_html *h, const thaw_page *page);

#endif
