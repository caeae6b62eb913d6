#include "output/grid.h"

#include <math.h>
#include <string.h>

#include <cairo-pdf.h>

#include "base/alloc.h"
#include "base/bytes.h"
#include "base/error.h"
#include "output/drawing.h"

/* Layout, in units of the text size. */
#define MARGIN       2.4
#define GAP          1.6
#define TITLE        1.7
#define HEADING      1.1
#define RAMP_WIDTH   16.0
#define RAMP_HEIGHT  1.4
#define PANEL_LEAST  13.0          /* width: room for the lines of text */
/* Sheet of a picture, pixels. */
#define TEXT_PX      22.0
#define SHEET_PX     1900.0
#define PICTURE_MOST 1500.0        /* height of a picture */
/* Page: as wide as A4, as high as Letter, points of 1/72 in. */
#define PAGE_WIDTH   (210.0 / 25.4 * 72.0)
#define PAGE_HEIGHT  (11.0 * 72.0)
#define PAGE_TEXT    8.0
#define MM_12        (12.0 / 25.4 * 72.0) /* what a home printer leaves white */

typedef struct layout {
    const thaw_grid *grid;
    cairo_t *cairo;                /* own elsewhere */
    double text, width, left, top; /* text size, width of all panels, upper left corner */
    double unit_m;                 /* a sheet unit on the real thing */
    double column, picture_height; /* of a panel and of its picture */
    int n_rows;
    double row_text[THAW_GRID_MOST]; /* height of the texts of a row */
} layout;

static const thaw_panel *panel_at(const layout *l, int row, int column)
{
    const int i = row * l->grid->n_columns + column;
    return i < l->grid->n_panels ? &l->grid->panels[i] : NULL;
}

static double texts_height(const layout *l, const thaw_panel *p)
{
    double lines = p->lines ? thaw_draw_text_height(l->cairo, l->text, l->column, p->lines) : 0.0;
    return thaw_draw_text_height(l->cairo, HEADING * l->text, l->column, p->heading) + lines + 0.9 * l->text;
}

/* The one scale at which the widest picture fills its column and none is higher than `most`. */
static void find_scale(layout *l, double most)
{
    double width_m = 0.0, height_m = 0.0;
    for (int i = 0; i < l->grid->n_panels; i++) {
        const thaw_image *image = l->grid->panels[i].image;
        width_m = image ? fmax(width_m, image->width * image->pixel_m) : width_m;
        height_m = image ? fmax(height_m, image->height * image->pixel_m) : height_m;
    }
    l->unit_m = fmax(width_m / l->column, height_m / most);
    l->unit_m = l->unit_m > 0.0 ? l->unit_m : 1.0;
    l->picture_height = height_m / l->unit_m;
}

static void lay_out(layout *l, double picture_most)
{
    const int n = l->grid->n_columns;
    l->n_rows = (l->grid->n_panels + n - 1) / n;
    l->column = (l->width - (n - 1) * GAP * l->text) / n;
    find_scale(l, picture_most);
    for (int row = 0; row < l->n_rows; row++) {
        l->row_text[row] = 0.0;
        for (int c = 0; c < n && panel_at(l, row, c); c++) {
            l->row_text[row] = fmax(l->row_text[row], texts_height(l, panel_at(l, row, c)));
        }
    }
}

static double title_height(const layout *l)
{
    return thaw_draw_text_height(l->cairo, TITLE * l->text, l->width, l->grid->title) + 0.8 * l->text;
}

static double foot_height(const layout *l)
{
    const double note = l->grid->note ? thaw_draw_text_height(l->cairo, l->text, l->width, l->grid->note) : 0.0;
    return (l->grid->ramp.dark ? RAMP_HEIGHT + 2.2 : 0.0) * l->text + 3.4 * l->text + note;
}

static double whole_height(const layout *l)
{
    double sum = title_height(l) + foot_height(l);
    for (int row = 0; row < l->n_rows; row++) {
        sum += l->row_text[row] + l->picture_height + GAP * l->text;
    }
    return sum;
}

static void draw_ramp(const layout *l, double y)
{
    const thaw_ramp *ramp = &l->grid->ramp;
    const double width = RAMP_WIDTH * l->text, height = RAMP_HEIGHT * l->text;
    const int steps = 64;
    for (int i = 0; i < steps; i++) {
        thaw_draw_grey(l->cairo, 1.0 - (1.0 - THAW_INK) * (i + 0.5) / steps);
        cairo_rectangle(l->cairo, l->left + i * width / steps, y, width / steps + 0.5, height);
        cairo_fill(l->cairo);
    }
    thaw_draw_grey(l->cairo, THAW_INK);
    cairo_set_line_width(l->cairo, 1.0);
    cairo_rectangle(l->cairo, l->left, y, width, height);
    cairo_stroke(l->cairo);
    thaw_draw_text(l->cairo, l->left, y + height + 0.2 * l->text, l->text, false, 0.0, ramp->white);
    thaw_draw_text(l->cairo, l->left + width, y + height + 0.2 * l->text, l->text, true, 0.0, ramp->dark);
}

static thaw_status draw_panel(const layout *l, const thaw_panel *p, double x, double y, thaw_error *err)
{
    thaw_draw_grey(l->cairo, THAW_INK);
    y += thaw_draw_text(l->cairo, x, y, HEADING * l->text, false, l->column, p->heading) + 0.3 * l->text;
    if (p->image) {
        thaw_status status = thaw_draw_picture(l->cairo, p->image, p->image->pixel_m / l->unit_m, x, y, err);
        if (status != THAW_OK) {
            return status;
        }
    }
    thaw_draw_grey(l->cairo, THAW_INK);
    if (p->lines) {
        thaw_draw_text(l->cairo, x, y + l->picture_height + 0.4 * l->text, l->text, false, l->column, p->lines);
    }
    return THAW_OK;
}

static thaw_status draw(const layout *l, thaw_error *err)
{
    double y = l->top;
    thaw_draw_grey(l->cairo, THAW_INK);
    thaw_draw_text(l->cairo, l->left, y, TITLE * l->text, false, l->width, l->grid->title);
    y += title_height(l);
    for (int row = 0; row < l->n_rows; row++) {
        for (int c = 0; c < l->grid->n_columns && panel_at(l, row, c); c++) {
            const double x = l->left + c * (l->column + GAP * l->text);
            thaw_status status = draw_panel(l, panel_at(l, row, c), x, y, err);
            if (status != THAW_OK) {
                return status;
            }
        }
        y += l->row_text[row] + l->picture_height + GAP * l->text;
    }
    thaw_draw_scale(l->cairo, l->left, y, fmin(l->width, 40.0 * l->text), l->unit_m, l->text);
    y += 3.0 * l->text;
    if (l->grid->ramp.dark) {
        draw_ramp(l, y);
        y += (RAMP_HEIGHT + 2.2) * l->text;
    }
    if (l->grid->note) {
        thaw_draw_text(l->cairo, l->left, y, l->text, false, l->width, l->grid->note);
    }
    return THAW_OK;
}

static thaw_status check(const thaw_grid *grid, thaw_error *err)
{
    bool is_good = grid->n_panels >= 1 && grid->n_panels <= THAW_GRID_MOST && grid->n_columns >= 1;
    for (int i = 0; is_good && i < grid->n_panels; i++) {
        const thaw_image *image = grid->panels[i].image;
        is_good = !image || (image->rgb && image->width > 0 && image->height > 0 && image->pixel_m > 0.0);
    }
    return is_good ? THAW_OK
                   : thaw_fail(err, THAW_ERR_ARGUMENT, "a sheet takes 1 to %d whole pictures", THAW_GRID_MOST);
}

thaw_status thaw_grid_image(const thaw_grid *grid, thaw_image *out, thaw_error *err)
{
    thaw_status status = check(grid, err);
    layout l = {.grid = grid, .text = TEXT_PX, .left = MARGIN * TEXT_PX, .top = MARGIN * TEXT_PX};
    l.width = fmax(SHEET_PX, grid->n_columns * PANEL_LEAST * TEXT_PX);
    if (status == THAW_OK) { /* a small surface to measure the texts on */
        status = thaw_draw_begin(8.0, 8.0, &l.cairo, err);
    }
    if (status != THAW_OK) {
        return status;
    }
    lay_out(&l, PICTURE_MOST);
    const double width = ceil(l.width + 2.0 * l.left), height = ceil(whole_height(&l) + 2.0 * l.top);
    cairo_destroy(l.cairo);
    status = thaw_draw_begin(width, height, &l.cairo, err);
    if (status != THAW_OK) {
        return status;
    }
    status = draw(&l, err);
    if (status == THAW_OK) {
        status = thaw_draw_end(l.cairo, l.unit_m, out, err);
    }
    cairo_destroy(l.cairo);
    return status;
}

static cairo_status_t grow(void *closure, const unsigned char *data, unsigned int length)
{
    return thaw_bytes_append(closure, data, length, NULL) ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_NO_MEMORY;
}

/* Pictures shrink until all fits on the page. */
static void fit(layout *l, double height)
{
    double most = height;
    for (int i = 0; i < 40; i++) {
        lay_out(l, most);
        if (whole_height(l) <= height) {
            return;
        }
        most = 0.93 * fmin(most, l->picture_height);
    }
}

thaw_status thaw_grid_pdf(const thaw_grid *grid, unsigned char **bytes, size_t *n_bytes, thaw_error *err)
{
    thaw_status status = check(grid, err);
    if (status != THAW_OK) {
        return status;
    }
    thaw_bytes g = {0};
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(grow, &g, PAGE_WIDTH, PAGE_HEIGHT);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, grid->title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z"); /* same bytes */
    layout l = {.grid = grid, .cairo = cairo_create(surface), .text = PAGE_TEXT, .width = PAGE_WIDTH - 2.0 * MM_12,
                .left = MM_12, .top = MM_12};
    fit(&l, PAGE_HEIGHT - 2.0 * MM_12);
    status = draw(&l, err);
    cairo_show_page(l.cairo);
    cairo_surface_finish(surface);
    if (status == THAW_OK && (cairo_status(l.cairo) != CAIRO_STATUS_SUCCESS || cairo_surface_status(surface) != CAIRO_STATUS_SUCCESS)) {
        status = thaw_fail(err, THAW_ERR_MEMORY, "a page could not be drawn: %s",
                           cairo_status_to_string(cairo_surface_status(surface)));
    }
    cairo_destroy(l.cairo);
    cairo_surface_destroy(surface);
    if (status != THAW_OK) {
        thaw_release(g.bytes);
        return status;
    }
    *bytes = g.bytes;
    *n_bytes = g.n;
    return THAW_OK;
}

thaw_status thaw_grid_grey(const float *map, int nx, int ny, double cell_m, thaw_image *out, thaw_error *err)
{
    const size_t n = (size_t)nx * (size_t)ny;
    uint8_t *rgb = thaw_allocate(n, 3, err);
    if (!rgb) {
        return THAW_ERR_MEMORY;
    }
    for (size_t k = 0; k < n; k++) {
        const double grey = 1.0 - (1.0 - THAW_INK) * fmin(1.0, fmax(0.0, map[k]));
        memset(rgb + 3 * k, (int)(255.0 * grey + 0.5), 3);
    }
    *out = (thaw_image){nx, ny, cell_m, rgb};
    return THAW_OK;
}
