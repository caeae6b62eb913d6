#include "output/swatch_card.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include <pango/pangocairo.h>

#include "base/error.h"
#include "output/drawing.h"

/* Layout in mm. */
#define DOTS_PER_MM    (200.0 / 25.4)
#define PAGE_WIDTH     210.0
#define PAGE_HEIGHT    297.0
#define MARGIN         12.0
#define TITLE_SIZE     6.0
#define TEXT_SIZE      3.1
#define NAME_SIZE      3.5
#define SMALL_SIZE     2.5
#define RECIPE_SIZE    2.25
#define LINE           1.4 /* line distance / text size */
#define NAME_WIDTH     58.0
#define SWATCH_WIDTH   31.0
#define SWATCH_HEIGHT  10.4
#define SWATCH_GAP     1.4
#define ROW_PITCH      11.9
#define HEAD_HEIGHT    43.0 /* at most, with three lines */
#define FOOT_HEIGHT    26.0
#define BAR_HEIGHT     1.6
#define MM_PER_INCH    25.4
#define LIGHT_ENOUGH   52.0 /* L* from which dark text reads better */
#define MOST_ROWS      200
#define FONT           "DejaVu Sans, Noto Sans, Liberation Sans, sans-serif"
#define GREY_TEXT      0.38

typedef enum side { LEFT, MIDDLE, RIGHT } side;

/* One line of text, or wrapped at max_width if positive; y is its upper edge, all in mm. Returns its height. Set in dots,
 * because Pango rounds the height of a line to whole units. */
static double write_text(cairo_t *cairo, double x, double y, double size, side at, double max_width, const char *text)
{
    cairo_save(cairo);
    cairo_scale(cairo, 1.0 / DOTS_PER_MM, 1.0 / DOTS_PER_MM);
    PangoLayout *layout = pango_cairo_create_layout(cairo);
    PangoFontDescription *font = pango_font_description_from_string(FONT);
    pango_font_description_set_absolute_size(font, size * DOTS_PER_MM * PANGO_SCALE);
    pango_layout_set_font_description(layout, font);
    pango_layout_set_text(layout, text, -1);
    if (max_width > 0.0) {
        pango_layout_set_width(layout, (int)(max_width * DOTS_PER_MM * PANGO_SCALE));
        pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    }
    int width, height;
    pango_layout_get_size(layout, &width, &height);
    double wide = (double)width / PANGO_SCALE, left = x * DOTS_PER_MM;
    cairo_move_to(cairo, at == MIDDLE ? left - 0.5 * wide : at == RIGHT ? left - wide : left, y * DOTS_PER_MM);
    pango_cairo_show_layout(cairo, layout);
    pango_font_description_free(font);
    g_object_unref(layout);
    cairo_restore(cairo);
    return (double)height / PANGO_SCALE / DOTS_PER_MM;
}

static void draw_swatch(cairo_t *cairo, const thaw_card_swatch *swatch, double x, double y)
{
    char text[32];
    cairo_rectangle(cairo, x, y, SWATCH_WIDTH, SWATCH_HEIGHT);
    cairo_set_source_rgb(cairo, swatch->rgb[0] / 255.0, swatch->rgb[1] / 255.0, swatch->rgb[2] / 255.0);
    cairo_fill_preserve(cairo);
    thaw_draw_grey(cairo, THAW_FAINT);
    cairo_set_line_width(cairo, 0.12);
    cairo_stroke(cairo);
    thaw_draw_grey(cairo, swatch->lightness >= LIGHT_ENOUGH ? 0.0 : 1.0);
    double low = y + SWATCH_HEIGHT - SMALL_SIZE * LINE - 0.3;
    snprintf(text, sizeof text, "#%02x%02x%02x%s", swatch->rgb[0], swatch->rgb[1], swatch->rgb[2],
             swatch->is_clipped ? " *" : "");
    write_text(cairo, x + 1.0, low, SMALL_SIZE, LEFT, 0.0, text);
    snprintf(text, sizeof text, "L* %.0f", swatch->lightness);
    write_text(cairo, x + SWATCH_WIDTH - 1.0, low, SMALL_SIZE, RIGHT, 0.0, text);
}

static double column_x(int i)
{
    return MARGIN + NAME_WIDTH + i * (SWATCH_WIDTH + SWATCH_GAP);
}

static void draw_row(cairo_t *cairo, const thaw_card_row *row, double y)
{
    thaw_draw_grey(cairo, THAW_INK);
    double name = write_text(cairo, MARGIN, y - 0.4, NAME_SIZE, LEFT, NAME_WIDTH - 2.0, row->name);
    thaw_draw_grey(cairo, GREY_TEXT);
    write_text(cairo, MARGIN, y - 0.2 + name, RECIPE_SIZE, LEFT, NAME_WIDTH - 2.0, row->recipe);
    for (int i = 0; i < THAW_CARD_DEPTHS; i++) {
        draw_swatch(cairo, &row->swatches[i], column_x(i), y);
    }
}

/* A bar of n divisions of `unit` mm. */
static void draw_bar(cairo_t *cairo, double x, double y, double unit, int n, const char *name)
{
    char label[16];
    for (int i = 0; i < n; i++) {
        thaw_draw_grey(cairo, i % 2 ? 1.0 : THAW_INK);
        cairo_rectangle(cairo, x + i * unit, y, unit, BAR_HEIGHT);
        cairo_fill(cairo);
    }
    thaw_draw_grey(cairo, THAW_INK);
    cairo_set_line_width(cairo, 0.2);
    cairo_rectangle(cairo, x, y, n * unit, BAR_HEIGHT);
    cairo_stroke(cairo);
    snprintf(label, sizeof label, "%d %s", n, name);
    write_text(cairo, x + n * unit + 1.5, y - 1.2, SMALL_SIZE, LEFT, 0.0, label);
}

/* Title, lines and headings; returns where the rows begin. */
static double draw_head(cairo_t *cairo, const thaw_card *card)
{
    double y = MARGIN, width = PAGE_WIDTH - 2.0 * MARGIN;
    thaw_draw_grey(cairo, THAW_INK);
    y += write_text(cairo, MARGIN, y, TITLE_SIZE, LEFT, width, card->title) + 1.0;
    for (int i = 0; i < 4 && card->lines[i]; i++) {
        y += write_text(cairo, MARGIN, y, TEXT_SIZE, LEFT, width, card->lines[i]) + 0.4;
    }
    y += 2.0;
    for (int i = 0; i < THAW_CARD_DEPTHS; i++) {
        char text[24];
        snprintf(text, sizeof text, "%g %%", card->depths_percent[i]);
        write_text(cairo, column_x(i) + 0.5 * SWATCH_WIDTH, y, NAME_SIZE, MIDDLE, 0.0, text);
    }
    return y + NAME_SIZE * LINE + 0.6;
}

static void draw_foot(cairo_t *cairo, const thaw_card *card, double y)
{
    draw_bar(cairo, MARGIN, y, 10.0, 5, "cm");
    draw_bar(cairo, MARGIN + 75.0, y, MM_PER_INCH, 2, "in");
    y += 4.6;
    thaw_draw_grey(cairo, GREY_TEXT);
    for (int i = 0; i < 3 && card->foot[i]; i++) {
        y += write_text(cairo, MARGIN, y, SMALL_SIZE, LEFT, PAGE_WIDTH - 2.0 * MARGIN, card->foot[i]) + 0.3;
    }
}

static void draw(cairo_t *cairo, const thaw_card *card)
{
    cairo_scale(cairo, DOTS_PER_MM, DOTS_PER_MM);
    double y = draw_head(cairo, card);
    thaw_draw_grey(cairo, THAW_INK);
    write_text(cairo, MARGIN, y + 3.0, NAME_SIZE, LEFT, NAME_WIDTH, "undyed");
    draw_swatch(cairo, &card->bare, column_x(0), y);
    for (int i = 0; i < card->n_rows; i++) {
        draw_row(cairo, &card->rows[i], y + (i + 1) * ROW_PITCH);
    }
    draw_foot(cairo, card, y + (card->n_rows + 1) * ROW_PITCH + 2.4);
}

thaw_status thaw_swatch_card(const thaw_card *card, thaw_image *out, thaw_error *err)
{
    if (card->n_rows < 1 || card->n_rows > MOST_ROWS) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "a card takes 1 to %d colours", MOST_ROWS);
    }
    double needed_mm = HEAD_HEIGHT + (card->n_rows + 1) * ROW_PITCH + FOOT_HEIGHT;
    int width = (int)lround(PAGE_WIDTH * DOTS_PER_MM);
    int height = (int)lround(fmax(PAGE_HEIGHT, needed_mm) * DOTS_PER_MM);
    cairo_t *cairo = NULL;
    thaw_status status = thaw_draw_begin(width, height, &cairo, err);
    if (status == THAW_OK) {
        draw(cairo, card);
        status = thaw_draw_end(cairo, 1e-3 / DOTS_PER_MM, out, err);
        cairo_destroy(cairo);
    }
    return status;
}
