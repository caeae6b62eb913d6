/* What is drawn of a pattern piece, on pictures and on paper. The context is scaled to metres of the cloth; `unit` is a
 * sheet unit (pixel, point) in metres. */
#ifndef THAW_OUTPUT_LAY_MARKS_H
#define THAW_OUTPUT_LAY_MARKS_H

#include <cairo.h>

#include "model/cut_out.h"

void thaw_mark_path(cairo_t *cairo, const thaw_polygon *polygon);
/* Dark line; with a light rim where it lies on a picture. */
void thaw_mark_outline(cairo_t *cairo, const thaw_cut_out *piece, double unit, bool on_picture);
/* A place well inside, and how far from the outline it is. */
void thaw_mark_middle(const thaw_polygon *outline, double out[2], double *far);
/* Arrow along the grain, its head towards the upper end of the piece; name and lines over it, text_size sheet units high,
 * smaller where there is no room. */
void thaw_mark_label(cairo_t *cairo, const thaw_cut_out *piece, double unit, double text_size, const char *lines);

#endif
