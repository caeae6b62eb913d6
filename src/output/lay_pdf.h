/* A lay at true scale on pages that a home printer takes: one page of overview with a square to measure, then the pages to
 * be glued together; those that no piece touches are left out. */
#ifndef THAW_OUTPUT_LAY_PDF_H
#define THAW_OUTPUT_LAY_PDF_H

#include <stddef.h>

#include "model/cut_out.h"
#include "thawprint/status.h"

typedef enum thaw_paper { THAW_PAPER_A4, THAW_PAPER_LETTER, THAW_PAPERS } thaw_paper;

/* "a4", "letter". */
const char *thaw_paper_word(thaw_paper paper);

/* The caller frees *bytes; untouched on failure. *n_pages: all, the overview too. The same lay gives the same bytes. */
thaw_status thaw_lay_pdf(const thaw_lay_sheet *sheet, thaw_paper paper, unsigned char **bytes, size_t *n_bytes, int *n_pages,
                         thaw_error *err);

/* Where things are on the pages, mm from the upper left corner of the paper; for tests. */
typedef struct thaw_page_layout {
    double width, height;          /* of the paper */
    double left, top;              /* of the part of the lay on a page */
    double pitch_x, pitch_y;       /* of the lay from page to page */
    double flap;                   /* more of it, under the next page, right and below */
    double square_left, square_top, square; /* to measure, on the first page */
} thaw_page_layout;
thaw_page_layout thaw_page_layout_of(thaw_paper paper);

#endif
