#include "output/sheet.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"
#include "output/drawing.h"

/* Layout, sheet pixels. */
#define MARGIN         64.0
#define GAP            56.0
#define PICTURES_WIDTH 1600.0 /* all pictures and the gaps between them */
#define PICTURE_HEIGHT 1200.0 /* at most */
#define LEAST_WIDTH    240.0  /* a narrow picture keeps room for its caption */
#define TITLE_SIZE     34.0
#define TEXT_SIZE      20.0
#define SMALL_SIZE     17.0
#define THAW_LINE           1.45 /* line distance / text size */
#define BAR_HEIGHT     12.0
#define SWATCH_WIDTH   84.0
#define SWATCH_HEIGHT  30.0
#define MAX_IMAGES     4

typedef struct sheet {
    const thaw_image *const *images;
    const char *const *captions;
    int n_images;
    const char *title;
    const thaw_legend *legend; /* may be NULL */
    double pixel_m;            /* of the sheet, on the real cloth */
    double width, height;
    double picture_height; /* the tallest */
    cairo_t *cairo;        /* own */
} sheet;

static double picture_width(const sheet *s, int i)
{
    return s->images[i]->width * s->images[i]->pixel_m / s->pixel_m;
}

static double picture_height(const sheet *s, int i)
{
    return s->images[i]->height * s->images[i]->pixel_m / s->pixel_m;
}

static double column_width(const sheet *s, int i)
{
    return fmax(picture_width(s, i), LEAST_WIDTH);
}

/* The one scale at which all pictures fit. */
static void lay_out(sheet *s)
{
    double width_m = 0.0, height_m = 0.0;
    for (int i = 0; i < s->n_images; i++) {
        width_m += s->images[i]->width * s->images[i]->pixel_m;
        height_m = fmax(height_m, s->images[i]->height * s->images[i]->pixel_m);
    }
    double room = PICTURES_WIDTH - GAP * (s->n_images - 1);
    s->pixel_m = fmax(width_m / room, height_m / PICTURE_HEIGHT);
    s->picture_height = height_m / s->pixel_m;
    double columns = GAP * (s->n_images - 1);
    for (int i = 0; i < s->n_images; i++) {
        columns += column_width(s, i);
    }
    s->width = ceil(fmax(columns, 0.7 * PICTURES_WIDTH) + 2.0 * MARGIN);
    double foot = s->legend ? SWATCH_HEIGHT + 7.4 * SMALL_SIZE * THAW_LINE : 1.6 * SMALL_SIZE * THAW_LINE;
    s->height =
        ceil(2.0 * MARGIN + TITLE_SIZE * THAW_LINE + 2.0 * TEXT_SIZE * THAW_LINE + s->picture_height + foot);
}

static void draw_legend(const sheet *s, double y)
{
    const thaw_legend *legend = s->legend;
    char lines[160];
    thaw_draw_text(s->cairo, MARGIN, y, SMALL_SIZE, false, 0.0,
               "Layers lying above this part of the cloth (left), layers in all (right)");
    y += SMALL_SIZE * THAW_LINE + 4.0;
    for (int i = 0; i < legend->n; i++) {
        char label[48];
        const char *more = i + 1 == legend->n ? "+" : "";
        double x = MARGIN + i * SWATCH_WIDTH;
        cairo_set_source_rgb(s->cairo, legend->rgb[i][0] / 255.0, legend->rgb[i][1] / 255.0,
                             legend->rgb[i][2] / 255.0);
        cairo_rectangle(s->cairo, x, y, SWATCH_WIDTH, SWATCH_HEIGHT);
        cairo_fill_preserve(s->cairo);
        thaw_draw_grey(s->cairo, THAW_FAINT);
        cairo_set_line_width(s->cairo, 1.0);
        cairo_stroke(s->cairo);
        thaw_draw_grey(s->cairo, THAW_INK);
        snprintf(label, sizeof label, "%d%s | %d%s", legend->layers[i], more, legend->layers[i] + 1,
                 more);
        thaw_draw_text(s->cairo, x + 0.5 * SWATCH_WIDTH, y + SWATCH_HEIGHT + 4.0, SMALL_SIZE, true, 0.0,
                   label);
    }
    snprintf(lines, sizeof lines,
             "Lines of equal place on the tray, every %g cm: whole lines count from its left edge, "
             "broken lines from its far edge.",
             legend->line_m * 100.0);
    thaw_draw_text(s->cairo, MARGIN, y + SWATCH_HEIGHT + 1.6 * SMALL_SIZE * THAW_LINE, SMALL_SIZE, false,
               s->width - 2.0 * MARGIN, lines);
}

static thaw_status draw(const sheet *s, thaw_error *err)
{
    thaw_draw_text(s->cairo, MARGIN, MARGIN, TITLE_SIZE, false, s->width - 2.0 * MARGIN, s->title);
    double x = MARGIN, top = MARGIN + TITLE_SIZE * THAW_LINE + 0.6 * TEXT_SIZE;
    for (int i = 0; i < s->n_images; i++) {
        thaw_status status = thaw_draw_picture(s->cairo, s->images[i], s->images[i]->pixel_m / s->pixel_m, x, top, err);
        if (status != THAW_OK) {
            return status;
        }
        thaw_draw_grey(s->cairo, THAW_INK);
        thaw_draw_text(s->cairo, x, top + picture_height(s, i) + 8.0, TEXT_SIZE, false, column_width(s, i),
                   s->captions[i]);
        x += column_width(s, i) + GAP;
    }
    double y = top + s->picture_height + 2.0 * TEXT_SIZE * THAW_LINE + 12.0;
    thaw_draw_scale(s->cairo, MARGIN, y, 0.5 * s->width, s->pixel_m, SMALL_SIZE);
    if (s->legend) {
        draw_legend(s, y + BAR_HEIGHT + 2.2 * SMALL_SIZE * THAW_LINE);
    }
    return THAW_OK;
}

static thaw_status make(sheet *s, thaw_image *out, thaw_error *err)
{
    lay_out(s);
    thaw_status status = thaw_draw_begin(s->width, s->height, &s->cairo, err);
    if (status != THAW_OK) {
        return status;
    }
    status = draw(s, err);
    if (status == THAW_OK) {
        status = thaw_draw_end(s->cairo, s->pixel_m, out, err);
    }
    cairo_destroy(s->cairo);
    return status;
}

static bool is_picture(const thaw_image *image)
{
    return image->rgb && image->width > 0 && image->height > 0 && image->pixel_m > 0.0;
}

thaw_status thaw_sheet_row(const thaw_image *const *images, const char *const *captions,
                           int n_images, const char *title, thaw_image *out, thaw_error *err)
{
    if (n_images < 1 || n_images > MAX_IMAGES) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "a sheet takes 1 to %d pictures", MAX_IMAGES);
    }
    for (int i = 0; i < n_images; i++) {
        if (!is_picture(images[i])) {
            return thaw_fail(err, THAW_ERR_ARGUMENT,
                             "a picture on a sheet needs pixels and a physical size");
        }
    }
    sheet s = {.images = images, .captions = captions, .n_images = n_images, .title = title};
    return make(&s, out, err);
}

thaw_status thaw_sheet_fold_map(const thaw_image *unfolded, const thaw_image *plan,
                                const thaw_legend *legend, const char *title, thaw_image *out,
                                thaw_error *err)
{
    const thaw_image *images[2] = {unfolded, plan};
    const char *captions[2] = {"The cloth unfolded: light lies on top, dark deep inside",
                               "The bundle from above"};
    if (!is_picture(unfolded) || !is_picture(plan)) {
        return thaw_fail(err, THAW_ERR_ARGUMENT,
                         "a picture on a sheet needs pixels and a physical size");
    }
    sheet s = {
        .images = images, .captions = captions, .n_images = 2, .title = title, .legend = legend};
    return make(&s, out, err);
}
