/* What every sheet draws: text, a picture, a scale bar, and the surface it is drawn on. Lengths are sheet units:
 * pixels of a picture, points of a PDF. */
#ifndef THAW_OUTPUT_DRAWING_H
#define THAW_OUTPUT_DRAWING_H

#include <stdbool.h>

#include <cairo.h>

#include "model/image.h"
#include "thawprint/status.h"

#define THAW_INK   0.16            /* grey of text and lines, 0 black */
#define THAW_FAINT 0.62            /* of frames */
#define THAW_LINE  1.45            /* line distance / text size */

void thaw_draw_grey(cairo_t *cairo, double grey);
/* Text with its upper left corner at (x, y), centred on x when asked; wraps at max_width if positive. Returns its
 * height. */
double thaw_draw_text(cairo_t *cairo, double x, double y, double size, bool centred, double max_width, const char *text);
/* Height that the text would take. */
double thaw_draw_text_height(cairo_t *cairo, double size, double max_width, const char *text);
/* A picture with a thin frame, scale sheet units to its pixel. */
thaw_status thaw_draw_picture(cairo_t *cairo, const thaw_image *image, double scale, double x, double y, thaw_error *err);
/* Bars in cm and inches of round length, together about `room` wide; unit_m: a sheet unit on the real thing. */
void thaw_draw_scale(cairo_t *cairo, double x, double y, double room, double unit_m, double text_size);

/* A white image surface; *out_cairo is destroyed by the caller, its surface with it. */
thaw_status thaw_draw_begin(double width, double height, cairo_t **out_cairo, thaw_error *err);
/* The pixels of the surface, if all drawing went well; the caller frees out->rgb. */
thaw_status thaw_draw_end(cairo_t *cairo, double pixel_m, thaw_image *out, thaw_error *err);

#endif
