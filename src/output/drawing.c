#include "output/drawing.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <pango/pangocairo.h>

#include "base/alloc.h"
#include "base/error.h"

#define BAR_SHARE   0.7            /* height of a bar / text size */
#define FONT        "DejaVu Sans, Noto Sans, Liberation Sans, sans-serif"
#define CM_PER_INCH 2.54

void thaw_draw_grey(cairo_t *cairo, double grey)
{
    cairo_set_source_rgb(cairo, grey, grey, grey);
}

static PangoLayout *lay_text(cairo_t *cairo, double size, double max_width, const char *text)
{
    PangoLayout *layout = pango_cairo_create_layout(cairo);
    PangoFontDescription *font = pango_font_description_from_string(FONT);
    pango_font_description_set_absolute_size(font, size * PANGO_SCALE);
    pango_layout_set_font_description(layout, font);
    pango_layout_set_text(layout, text, -1);
    if (max_width > 0.0) {
        pango_layout_set_width(layout, (int)(max_width * PANGO_SCALE));
        pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    }
    pango_font_description_free(font);
    return layout;
}

double thaw_draw_text(cairo_t *cairo, double x, double y, double size, bool centred, double max_width, const char *text)
{
    PangoLayout *layout = lay_text(cairo, size, max_width, text);
    int width, height;
    pango_layout_get_pixel_size(layout, &width, &height);
    cairo_move_to(cairo, centred ? x - 0.5 * width : x, y);
    pango_cairo_show_layout(cairo, layout);
    g_object_unref(layout);
    return height;
}

double thaw_draw_text_height(cairo_t *cairo, double size, double max_width, const char *text)
{
    PangoLayout *layout = lay_text(cairo, size, max_width, text);
    int width, height;
    pango_layout_get_pixel_size(layout, &width, &height);
    g_object_unref(layout);
    return height;
}

/* cairo keeps pixels as 0xffRRGGBB words. */
static cairo_surface_t *surface_of(const thaw_image *image)
{
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, image->width, image->height);
    if (cairo_surface_status(surface) != CAIRO_STATUS_SUCCESS) {
        cairo_surface_destroy(surface);
        return NULL;
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
    return surface;
}

thaw_status thaw_draw_picture(cairo_t *cairo, const thaw_image *image, double scale, double x, double y, thaw_error *err)
{
    cairo_surface_t *surface = surface_of(image);
    if (!surface) {
        return thaw_fail(err, THAW_ERR_MEMORY, "not enough memory for a sheet of pictures");
    }
    cairo_save(cairo);
    cairo_translate(cairo, x, y);
    cairo_scale(cairo, scale, scale);
    cairo_set_source_surface(cairo, surface, 0.0, 0.0);
    cairo_pattern_set_filter(cairo_get_source(cairo), CAIRO_FILTER_GOOD);
    cairo_pattern_set_extend(cairo_get_source(cairo), CAIRO_EXTEND_PAD);
    cairo_rectangle(cairo, 0.0, 0.0, image->width, image->height);
    cairo_fill(cairo);
    cairo_restore(cairo);
    cairo_surface_destroy(surface);
    thaw_draw_grey(cairo, THAW_FAINT);
    cairo_set_line_width(cairo, 1.0);
    cairo_rectangle(cairo, x - 0.5, y - 0.5, image->width * scale + 1.0, image->height * scale + 1.0);
    cairo_stroke(cairo);
    return THAW_OK;
}

/* The longest of 1, 2, 5, 10, 20 ... that is at most `most`. */
static double round_down(double most)
{
    double power = pow(10.0, floor(log10(most)));
    double lead = most / power;
    return (lead >= 5.0 ? 5.0 : lead >= 2.0 ? 2.0 : 1.0) * power;
}

/* Two divisions, dark and light, with their ends named. */
static void draw_bar(cairo_t *cairo, double x, double y, double unit_px, double step, const char *unit, double text_size)
{
    const double height = BAR_SHARE * text_size;
    for (int i = 0; i < 2; i++) {
        thaw_draw_grey(cairo, i % 2 ? 1.0 : THAW_INK);
        cairo_rectangle(cairo, x + i * unit_px, y, unit_px, height);
        cairo_fill(cairo);
    }
    thaw_draw_grey(cairo, THAW_INK);
    cairo_set_line_width(cairo, 1.5);
    cairo_rectangle(cairo, x, y, 2.0 * unit_px, height);
    cairo_stroke(cairo);
    for (int i = 0; i <= 2; i++) {
        char label[32];
        snprintf(label, sizeof label, i == 2 ? "%g %s" : "%g", i * step, unit);
        thaw_draw_text(cairo, x + i * unit_px, y + height + 4.0, text_size, true, 0.0, label);
    }
}

void thaw_draw_scale(cairo_t *cairo, double x, double y, double room, double unit_m, double text_size)
{
    double room_cm = 0.45 * room * unit_m * 100.0;
    double cm = round_down(room_cm / 2.0), inch = round_down(room_cm / 2.0 / CM_PER_INCH);
    double cm_px = cm / 100.0 / unit_m, inch_px = inch * CM_PER_INCH / 100.0 / unit_m;
    draw_bar(cairo, x, y, cm_px, cm, "cm", text_size);
    draw_bar(cairo, x + 2.0 * cm_px + 5.0 * text_size, y, inch_px, inch, "in", text_size);
}

thaw_status thaw_draw_begin(double width, double height, cairo_t **out_cairo, thaw_error *err)
{
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)width, (int)height);
    cairo_t *cairo = cairo_create(surface);
    cairo_surface_destroy(surface); /* the context keeps it */
    if (cairo_status(cairo) != CAIRO_STATUS_SUCCESS) {
        cairo_destroy(cairo);
        return thaw_fail(err, THAW_ERR_MEMORY, "not enough memory for a sheet of %.0f x %.0f pixels", width, height);
    }
    thaw_draw_grey(cairo, 1.0);
    cairo_paint(cairo);
    thaw_draw_grey(cairo, THAW_INK);
    *out_cairo = cairo;
    return THAW_OK;
}

thaw_status thaw_draw_end(cairo_t *cairo, double pixel_m, thaw_image *out, thaw_error *err)
{
    if (cairo_status(cairo) != CAIRO_STATUS_SUCCESS) {
        return thaw_fail(err, THAW_ERR_MEMORY, "a sheet could not be drawn: %s", cairo_status_to_string(cairo_status(cairo)));
    }
    cairo_surface_t *surface = cairo_get_target(cairo);
    cairo_surface_flush(surface);
    const int width = cairo_image_surface_get_width(surface), height = cairo_image_surface_get_height(surface);
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
    *out = (thaw_image){width, height, pixel_m, rgb};
    return THAW_OK;
}
