#include "output/sheet.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <pango/pangocairo.h>

#include "base/alloc.h"
#include "base/error.h"

/* Layout, sheet pixels. */
#define MARGIN         64.0
#define GAP            56.0
#define PICTURES_WIDTH 1600.0 /* all pictures and the gaps between them */
#define PICTURE_HEIGHT 1200.0 /* at most */
#define LEAST_WIDTH    240.0  /* a narrow picture keeps room for its caption */
#define TITLE_SIZE     34.0
#define TEXT_SIZE      20.0
#define SMALL_SIZE     17.0
#define LINE           1.45 /* line distance / text size */
#define BAR_HEIGHT     12.0
#define SWATCH_WIDTH   84.0
#define SWATCH_HEIGHT  30.0
#define FONT           "DejaVu Sans, Noto Sans, Liberation Sans, sans-serif"
#define MAX_IMAGES     4
#define CM_PER_INCH    2.54
static const double ink = 0.16, faint = 0.62;

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
    double foot = s->legend ? SWATCH_HEIGHT + 7.4 * SMALL_SIZE * LINE : 1.6 * SMALL_SIZE * LINE;
    s->height =
        ceil(2.0 * MARGIN + TITLE_SIZE * LINE + 2.0 * TEXT_SIZE * LINE + s->picture_height + foot);
}

static void set_grey(cairo_t *cairo, double grey)
{
    cairo_set_source_rgb(cairo, grey, grey, grey);
}

/* Text with its upper left corner at (x, y), centred on x when asked; wraps at max_width if
 * positive. */
static void write_text(const sheet *s, double x, double y, double size, bool centred,
                       double max_width, const char *text)
{
    PangoLayout *layout = pango_cairo_create_layout(s->cairo);
    PangoFontDescription *font = pango_font_description_from_string(FONT);
    pango_font_description_set_absolute_size(font, size * PANGO_SCALE);
    pango_layout_set_font_description(layout, font);
    pango_layout_set_text(layout, text, -1);
    if (max_width > 0.0) {
        pango_layout_set_width(layout, (int)(max_width * PANGO_SCALE));
        pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    }
    int width, height;
    pango_layout_get_pixel_size(layout, &width, &height);
    cairo_move_to(s->cairo, centred ? x - 0.5 * width : x, y);
    pango_cairo_show_layout(s->cairo, layout);
    pango_font_description_free(font);
    g_object_unref(layout);
}

/* cairo keeps pixels as 0xffRRGGBB words. */
static thaw_status draw_picture(const sheet *s, const thaw_image *image, double x, double y,
                                thaw_error *err)
{
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, image->width, image->height);
    if (cairo_surface_status(surface) != CAIRO_STATUS_SUCCESS) {
        cairo_surface_destroy(surface);
        return thaw_fail(err, THAW_ERR_MEMORY, "not enough memory for a sheet of pictures");
    }
    unsigned char *bytes = cairo_image_surface_get_data(surface);
    size_t stride = (size_t)cairo_image_surface_get_stride(surface);
    for (size_t j = 0; j < (size_t)image->height; j++) {
        for (size_t i = 0; i < (size_t)image->width; i++) {
            const uint8_t *p = image->rgb + 3 * (j * (size_t)image->width + i);
            uint32_t word = 0xff000000u | (uint32_t)p[0] << 16 | (uint32_t)p[1] << 8 | p[2];
            memcpy(bytes + j * stride + 4 * i, &word, sizeof word);
        }
    }
    cairo_surface_mark_dirty(surface);
    double scale = image->pixel_m / s->pixel_m;
    cairo_save(s->cairo);
    cairo_translate(s->cairo, x, y);
    cairo_scale(s->cairo, scale, scale);
    cairo_set_source_surface(s->cairo, surface, 0.0, 0.0);
    cairo_pattern_set_filter(cairo_get_source(s->cairo), CAIRO_FILTER_GOOD);
    cairo_pattern_set_extend(cairo_get_source(s->cairo), CAIRO_EXTEND_PAD);
    cairo_rectangle(s->cairo, 0.0, 0.0, image->width, image->height);
    cairo_fill(s->cairo);
    cairo_restore(s->cairo);
    cairo_surface_destroy(surface);
    set_grey(s->cairo, faint);
    cairo_set_line_width(s->cairo, 1.0);
    cairo_rectangle(s->cairo, x - 0.5, y - 0.5, image->width * scale + 1.0,
                    image->height * scale + 1.0);
    cairo_stroke(s->cairo);
    return THAW_OK;
}

/* The longest of 1, 2, 5, 10, 20 ... that is at most `most`. */
static double round_down(double most)
{
    double power = pow(10.0, floor(log10(most)));
    double lead = most / power;
    return (lead >= 5.0 ? 5.0 : lead >= 2.0 ? 2.0 : 1.0) * power;
}

/* A bar of `unit` long divisions, dark and light in turn, with its ends named. */
static void draw_bar(const sheet *s, double x, double y, double unit_px, int n, double step,
                     const char *unit)
{
    for (int i = 0; i < n; i++) {
        set_grey(s->cairo, i % 2 ? 1.0 : ink);
        cairo_rectangle(s->cairo, x + i * unit_px, y, unit_px, BAR_HEIGHT);
        cairo_fill(s->cairo);
    }
    set_grey(s->cairo, ink);
    cairo_set_line_width(s->cairo, 1.5);
    cairo_rectangle(s->cairo, x, y, n * unit_px, BAR_HEIGHT);
    cairo_stroke(s->cairo);
    for (int i = 0; i <= n; i++) {
        char label[32];
        snprintf(label, sizeof label, i == n ? "%g %s" : "%g", i * step, unit);
        write_text(s, x + i * unit_px, y + BAR_HEIGHT + 4.0, SMALL_SIZE, true, 0.0, label);
    }
}

static void draw_scale(const sheet *s, double y)
{
    double room_cm = 0.22 * s->width * s->pixel_m * 100.0;
    double cm = round_down(room_cm / 2.0), inch = round_down(room_cm / 2.0 / CM_PER_INCH);
    double cm_px = cm / 100.0 / s->pixel_m, inch_px = inch * CM_PER_INCH / 100.0 / s->pixel_m;
    draw_bar(s, MARGIN, y, cm_px, 2, cm, "cm");
    draw_bar(s, MARGIN + 2.0 * cm_px + 2.0 * GAP, y, inch_px, 2, inch, "in");
}

static void draw_legend(const sheet *s, double y)
{
    const thaw_legend *legend = s->legend;
    char lines[160];
    write_text(s, MARGIN, y, SMALL_SIZE, false, 0.0,
               "Layers lying above this part of the cloth (left), layers in all (right)");
    y += SMALL_SIZE * LINE + 4.0;
    for (int i = 0; i < legend->n; i++) {
        char label[48];
        const char *more = i + 1 == legend->n ? "+" : "";
        double x = MARGIN + i * SWATCH_WIDTH;
        cairo_set_source_rgb(s->cairo, legend->rgb[i][0] / 255.0, legend->rgb[i][1] / 255.0,
                             legend->rgb[i][2] / 255.0);
        cairo_rectangle(s->cairo, x, y, SWATCH_WIDTH, SWATCH_HEIGHT);
        cairo_fill_preserve(s->cairo);
        set_grey(s->cairo, faint);
        cairo_set_line_width(s->cairo, 1.0);
        cairo_stroke(s->cairo);
        set_grey(s->cairo, ink);
        snprintf(label, sizeof label, "%d%s | %d%s", legend->layers[i], more, legend->layers[i] + 1,
                 more);
        write_text(s, x + 0.5 * SWATCH_WIDTH, y + SWATCH_HEIGHT + 4.0, SMALL_SIZE, true, 0.0,
                   label);
    }
    snprintf(lines, sizeof lines,
             "Lines of equal place on the tray, every %g cm: whole lines count from its left edge, "
             "broken lines from its far edge.",
             legend->line_m * 100.0);
    write_text(s, MARGIN, y + SWATCH_HEIGHT + 1.6 * SMALL_SIZE * LINE, SMALL_SIZE, false,
               s->width - 2.0 * MARGIN, lines);
}

static thaw_status draw(const sheet *s, thaw_error *err)
{
    set_grey(s->cairo, 1.0);
    cairo_paint(s->cairo);
    set_grey(s->cairo, ink);
    write_text(s, MARGIN, MARGIN, TITLE_SIZE, false, s->width - 2.0 * MARGIN, s->title);
    double x = MARGIN, top = MARGIN + TITLE_SIZE * LINE + 0.6 * TEXT_SIZE;
    for (int i = 0; i < s->n_images; i++) {
        thaw_status status = draw_picture(s, s->images[i], x, top, err);
        if (status != THAW_OK) {
            return status;
        }
        set_grey(s->cairo, ink);
        write_text(s, x, top + picture_height(s, i) + 8.0, TEXT_SIZE, false, column_width(s, i),
                   s->captions[i]);
        x += column_width(s, i) + GAP;
    }
    double y = top + s->picture_height + 2.0 * TEXT_SIZE * LINE + 12.0;
    draw_scale(s, y);
    if (s->legend) {
        draw_legend(s, y + BAR_HEIGHT + 2.2 * SMALL_SIZE * LINE);
    }
    return THAW_OK;
}

static thaw_status copy_out(const sheet *s, cairo_surface_t *surface, thaw_image *out,
                            thaw_error *err)
{
    cairo_surface_flush(surface);
    int width = (int)s->width, height = (int)s->height;
    uint8_t *rgb = thaw_allocate((size_t)width * (size_t)height, 3, err);
    if (!rgb) {
        return THAW_ERR_MEMORY;
    }
    const unsigned char *bytes = cairo_image_surface_get_data(surface);
    size_t stride = (size_t)cairo_image_surface_get_stride(surface);
    for (size_t j = 0; j < (size_t)height; j++) {
        for (size_t i = 0; i < (size_t)width; i++) {
            uint32_t word;
            memcpy(&word, bytes + j * stride + 4 * i, sizeof word);
            uint8_t *p = rgb + 3 * (j * (size_t)width + i);
            p[0] = (uint8_t)(word >> 16);
            p[1] = (uint8_t)(word >> 8);
            p[2] = (uint8_t)word;
        }
    }
    *out = (thaw_image){width, height, s->pixel_m, rgb};
    return THAW_OK;
}

static thaw_status make(sheet *s, thaw_image *out, thaw_error *err)
{
    lay_out(s);
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)s->width, (int)s->height);
    s->cairo = cairo_create(surface);
    thaw_status status = THAW_OK;
    if (cairo_status(s->cairo) != CAIRO_STATUS_SUCCESS) {
        status =
            thaw_fail(err, THAW_ERR_MEMORY, "not enough memory for a sheet of %.0f x %.0f pixels",
                      s->width, s->height);
    }
    if (status == THAW_OK) {
        status = draw(s, err);
    }
    if (status == THAW_OK && cairo_status(s->cairo) != CAIRO_STATUS_SUCCESS) {
        status = thaw_fail(err, THAW_ERR_MEMORY, "a sheet could not be drawn: %s",
                           cairo_status_to_string(cairo_status(s->cairo)));
    }
    if (status == THAW_OK) {
        status = copy_out(s, surface, out, err);
    }
    cairo_destroy(s->cairo);
    cairo_surface_destroy(surface);
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
