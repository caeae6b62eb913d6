#include "output/lay_picture.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

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

/* From the cloth to the piece upright as it is drawn: one that lies head to foot is turned back, one that is mirrored stays
 * so, as it will be worn. */
static void find_upright(const thaw_cut_out *piece, double m[6])
{
    const double way = piece->is_turned ? -1.0 : 1.0, s = way * piece->down[0], c = way * piece->down[1];
    const double turn[6] = {c, s, -s, c, 0.0, 0.0};
    memcpy(m, turn, sizeof turn);
}

static thaw_status draw_cut_out(cairo_t *cairo, const thaw_lay_sheet *sheet, const thaw_cut_out *piece, const double m[6], double unit,
                                thaw_error *err)
{
    const cairo_matrix_t upright = {m[0], m[1], m[2], m[3], m[4], m[5]};
    cairo_transform(cairo, &upright);
    cairo_save(cairo);
    thaw_mark_path(cairo, &piece->outline);
    cairo_clip(cairo);
    cairo_scale(cairo, unit, unit);
    thaw_status status = thaw_draw_picture(cairo, sheet->cloth, sheet->cloth->pixel_m / unit, 0.0, 0.0, err);
    cairo_restore(cairo);
    thaw_mark_outline(cairo, piece, unit, true);
    return status;
}

/* Box of the piece upright; m is moved so that it begins at 0, 0. */
static thaw_status find_box(const thaw_cut_out *piece, double m[6], double size[2], thaw_error *err)
{
    thaw_polygon upright = {0, NULL};
    thaw_status status = thaw_polygon_copy((const double(*)[2])piece->outline.at, piece->outline.n, &upright, err);
    if (status == THAW_OK) {
        thaw_polygon_map(&upright, m);
        const thaw_extent e = thaw_polygon_extent(&upright);
        m[4] = -e.x0;
        m[5] = -e.y0;
        size[0] = e.x1 - e.x0;
        size[1] = e.y1 - e.y0;
    }
    thaw_polygon_release(&upright);
    return status;
}

thaw_status thaw_lay_piece_picture(const thaw_lay_sheet *sheet, int i, thaw_image *out, thaw_error *err)
{
    const thaw_cut_out *piece = &sheet->pieces[i];
    double m[6], size[2];
    find_upright(piece, m);
    thaw_status status = find_box(piece, m, size, err);
    if (status != THAW_OK) {
        return status;
    }
    const double unit = fmax(size[0], size[1]) / PIECE_SIDE, width = fmax(PIECE_LEAST, size[0] / unit), height = size[1] / unit;
    char title[128];
    snprintf(title, sizeof title, "%.60s%s%.50s", piece->name, piece->remark[0] ? ", " : "", piece->remark);
    const double head = text_height(TITLE, width, title), lines = text_height(TEXT, width, piece->wishes);
    const double top = MARGIN + head + TEXT;
    cairo_t *cairo = NULL;
    status = thaw_draw_begin(ceil(width + 2.0 * MARGIN), ceil(top + height + TEXT + SCALE_HEIGHT + lines + 1.5 * MARGIN), &cairo, err);
    if (status != THAW_OK) {
        return status;
    }
    thaw_draw_text(cairo, MARGIN, MARGIN, TITLE, false, width, title);
    cairo_save(cairo);
    cairo_translate(cairo, MARGIN, top);
    cairo_scale(cairo, 1.0 / unit, 1.0 / unit);
    status = draw_cut_out(cairo, sheet, piece, m, unit, err);
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
