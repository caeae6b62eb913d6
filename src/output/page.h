/* One self-contained HTML page for the project notebook; and the files that such a page holds, taken out again. */
#ifndef THAW_OUTPUT_PAGE_H
#define THAW_OUTPUT_PAGE_H

#include "base/bytes.h"
#include "model/page.h"

/* The page's security policy lets it load nothing, and run and show only its own script and style, by their sums. The
 * same page gives the same bytes. The caller frees *bytes (a string) with thaw_release; untouched on failure. */
thaw_status thaw_page_html(const thaw_page *page, unsigned char **bytes, size_t *n, thaw_error *err);

/* A file that was taken out of a page. */
typedef struct thaw_taken_file {
    char name[64];
    thaw_bytes content;            /* own */
} thaw_taken_file;

typedef struct thaw_taken {
    char digest[17];               /* of the scenario, as the page says; empty: it does not */
    int n;
    thaw_taken_file files[THAW_PAGE_MOST_FILES];
} thaw_taken;

/* The files of a page: the scenario first. Only names without folders are taken, none that begins with a dot, none
 * twice. THAW_ERR_FILE if `html` is no page of ours or spoilt. The caller releases with thaw_taken_release, also after
 * failure. */
thaw_status thaw_page_take(const char *html, size_t n, thaw_taken *out, thaw_error *err);
void thaw_taken_release(thaw_taken *taken);

#endif
