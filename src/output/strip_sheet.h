/* The picture of a strip test: readings as dots, the fit as a line, and what was taken for the cloth before. */
#ifndef THAW_OUTPUT_STRIP_SHEET_H
#define THAW_OUTPUT_STRIP_SHEET_H

#include "model/image.h"
#include "thawprint/status.h"

#define THAW_STRIP_LINE 121        /* points of a line from 0 to end_s, denser where it is steep: */
double thaw_strip_line_s(double end_s, int i);

typedef struct thaw_strip_picture {
    const char *title;
    const char *lines[3];          /* below the title; NULL behind the last */
    int n;
    const double *t_s, *height_m;  /* n readings */
    double end_s;
    double fit_m[THAW_STRIP_LINE];
    const char *before_name;       /* NULL: no line of before */
    double before_m[THAW_STRIP_LINE];
} thaw_strip_picture;

/* The caller frees out->rgb with thaw_release; untouched on failure. */
thaw_status thaw_strip_sheet(const thaw_strip_picture *picture, thaw_image *out, thaw_error *err);

#endif
