#include "output/lay_picture.h"

#include <math.h>
#include <stdio.h>

#include "output/drawing.h"
#include "output/lay_marks.h"

#define MARGIN       56.0          /* sheet pixels */
#define CLOTH_WIDTH  1500.0
#define CLOTH_HEIGHT 1700.0
#define LEAST_WIDTH  760.0
#define TITLE        32.0
#define TEXT         20.0
#define SCALE_HEIGHT (3.0 * TEXT)
#define PIECE_SIDE   900.0         /* the longer one */
#define PIECE_LEAST  420.0         /* width of the sheet of a piece */

static double text_height(double size, double width, const char *text)
{
    cairo_t *cairo = NULL;
    double height = size * THAW_LINE;
    if (thaw_draw_begin(8.0, 8.0, &cairo, NULL) == THAW_OK) {
        height = thaw_draw_text_height(cairo, size, width, text);
        cairo_destroy(cairo);
    }
    return height;
}

thaw_status thaw_lay_picture(const thaw_lay_sheet *sheet, thaw_image *out, thaw_error *err)
{
    const double unit = fmax(sheet->width_m / CLOTH_WIDTH, sheet->length_m / CLOTH_HEIGHT);
    const double width = fmax(LEAST_WIDTH, sheet->width_m / unit), height = sheet->length_m / unit;
    const double title = text_height(TITLE, width, sheet->title), note = text_height(TEXT, width, sheet->note);
    const double top = MARGIN + title + TEXT;
    cairo_t *cairo = NULL;
    thaw_status status = thaw_draw_begin(ceil(width + 2.0 * MARGIN), ceil(top + height + TEXT + SCALE_HEIGHT + note + 1.5 * MARGIN),
                                         &cairo, err);
    if (status != THAW_OK) {
        return status;
    }
    thaw_draw_text(cairo, MARGIN, MARGIN, TITLE, false, width, sheet->title);
    status = thaw_draw_picture(cairo, sheet->cloth, sheet->cloth->pixel_m / unit, MARGIN, top, err);
    cairo_save(cairo);
    cairo_translate(cairo, MARGIN, top);
    cairo_scale(cairo, 1.0 / unit, 1.0 / unit);
    for (int i = 0; i < sheet->n; i++) {
        thaw_mark_outline(cairo, &sheet->pieces[i], unit, true);
    }
    for (int i = 0; i < sheet->n; i++) {
        thaw_mark_label(cairo, &sheet->pieces[i], unit, TEXT, sheet->pieces[i].remark);
    }
    cairo_restore(cairo);
    thaw_draw_grey(cairo, THAW_INK);
    thaw_draw_scale(cairo, MARGIN, top + height + TEXT, fmin(width, 900.0), unit, TEXT);
    thaw_draw_text(cairo, MARGIN, top + height + TEXT + SCALE_HEIGHT + 8.0, TEXT, false, width, sheet->note);
    if (status == THAW_OK) {
        status = thaw_draw_end(cairo, unit, out, err);
    }
    cairo_destroy(cairo);
    return status;
}

/* From the cloth to the piece upright, its box at 0, 0: one that lies head to foot is turned back, one that is mirrored
 * stays so, as it will be worn. */
static void set_upright(cairo_t *cairo, const thaw_cut_out *piece)
{
    const thaw_extent e = thaw_polygon_extent(&piece->outline);
    const double way = piece->is_turned ? -1.0 : 1.0;
    cairo_matrix_t m;
    cairo_matrix_init(&m, way, 0.0, 0.0, way, piece->is_turned ? e.x1 : -e.x0, piece->is_turned ? e.y1 : -e.y0);
    cairo_transform(cairo, &m);
}

static thaw_status draw_cut_out(cairo_t *cairo, const thaw_lay_sheet *sheet, const thaw_cut_out *piece, double unit, thaw_error *err)
{
    set_upright(cairo, piece);
    cairo_save(cairo);
    thaw_mark_path(cairo, &piece->outline);
    cairo_clip(cairo);
    cairo_scale(cairo, unit, unit);
    thaw_status status = thaw_draw_picture(cairo, sheet->cloth, sheet->cloth->pixel_m / unit, 0.0, 0.0, err);
    cairo_restore(cairo);
    thaw_mark_outline(cairo, piece, unit, true);
    return status;
}

thaw_status thaw_lay_piece_picture(const thaw_lay_sheet *sheet, int i, thaw_image *out, thaw_error *err)
{
    const thaw_cut_out *piece = &sheet->pieces[i];
    const thaw_extent e = thaw_polygon_extent(&piece->outline);
    const double unit = fmax(e.x1 - e.x0, e.y1 - e.y0) / PIECE_SIDE, width = fmax(PIECE_LEAST, (e.x1 - e.x0) / unit);
    const double height = (e.y1 - e.y0) / unit;
    char title[128];
    snprintf(title, sizeof title, "%.60s%s%.50s", piece->name, piece->remark[0] ? ", " : "", piece->remark);
    const double head = text_height(TITLE, width, title), lines = text_height(TEXT, width, piece->wishes);
    const double top = MARGIN + head + TEXT;
    cairo_t *cairo = NULL;
    thaw_status status = thaw_draw_begin(ceil(width + 2.0 * MARGIN), ceil(top + height + TEXT + SCALE_HEIGHT + lines + 1.5 * MARGIN),
                                         &cairo, err);
    if (status != THAW_OK) {
        return status;
    }
    thaw_draw_text(cairo, MARGIN, MARGIN, TITLE, false, width, title);
    cairo_save(cairo);
    cairo_translate(cairo, MARGIN, top);
    cairo_scale(cairo, 1.0 / unit, 1.0 / unit);
    status = draw_cut_out(cairo, sheet, piece, unit, err);
    cairo_restore(cairo);
    thaw_draw_grey(cairo, THAW_INK);
    thaw_draw_scale(cairo, MARGIN, top + height + TEXT, width, unit, TEXT);
    thaw_draw_text(cairo, MARGIN, top + height + TEXT + SCALE_HEIGHT + 8.0, TEXT, false, width, piece->wishes);
    if (status == THAW_OK) {
        status = thaw_draw_end(cairo, unit, out, err);
    }
    cairo_destroy(cairo);
    return status;
}
