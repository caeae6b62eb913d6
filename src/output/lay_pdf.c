#include "output/lay_pdf.h"

#include <math.h>
#include <stdio.h>

#include <cairo-pdf.h>

#include "base/alloc.h"
#include "base/bytes.h"
#include "base/error.h"
#include "output/drawing.h"
#include "output/lay_marks.h"

/* Millimetres. */
#define MARGIN      12.0           /* what a home printer leaves white */
#define FOOT        8.0            /* room for the page number */
#define FLAP        10.0
#define SQUARE      100.0
#define POINT       (25.4 / 72.0)  /* mm in a point */
#define TEXT        3.2
#define SMALL       2.6
#define TITLE       5.5
#define DIAMOND     3.5
#define LABEL_TEXT  4.2
#define MOST_PAGES  2000
#define FINE        20.0           /* text is laid out in so many units a mm: it is placed in whole ones */

const char *thaw_paper_word(thaw_paper paper)
{
    return paper == THAW_PAPER_A4 ? "a4" : paper == THAW_PAPER_LETTER ? "letter" : NULL;
}

thaw_page_layout thaw_page_layout_of(thaw_paper paper)
{
    const bool is_letter = paper == THAW_PAPER_LETTER;
    thaw_page_layout l = {.width = is_letter ? 215.9 : 210.0, .height = is_letter ? 279.4 : 297.0, .left = MARGIN, .top = MARGIN,
                          .flap = FLAP, .square_left = MARGIN, .square = SQUARE};
    l.pitch_x = l.width - 2.0 * MARGIN - FLAP;
    l.pitch_y = l.height - 2.0 * MARGIN - FOOT - FLAP;
    l.square_top = l.height - MARGIN - FOOT - SQUARE;
    return l;
}

typedef struct book {
    const thaw_lay_sheet *sheet;
    thaw_page_layout at;
    cairo_t *cairo;                /* own elsewhere; scaled to mm */
    int rows, columns, n_pages;    /* n_pages: with the overview */
    int *page;                     /* own: number of each page of the lay, 0 where nothing lies */
} book;

static cairo_status_t grow(void *closure, const unsigned char *data, unsigned int length)
{
    return thaw_bytes_append(closure, data, length, NULL) ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_NO_MEMORY;
}

/* As thaw_draw_text, in mm. */
static double write_text(cairo_t *cairo, double x, double y, double size, bool centred, double max_width, const char *text)
{
    cairo_save(cairo);
    cairo_translate(cairo, x, y);
    cairo_scale(cairo, 1.0 / FINE, 1.0 / FINE);
    const double height = thaw_draw_text(cairo, 0.0, 0.0, FINE * size, centred, FINE * max_width, text) / FINE;
    cairo_restore(cairo);
    return height;
}

/* ---- which pages ---- */

static thaw_status is_touched(const book *b, int row, int column, bool *out, thaw_error *err)
{
    const double x = column * b->at.pitch_x * 1e-3, y = row * b->at.pitch_y * 1e-3;
    const double x1 = x + b->at.pitch_x * 1e-3, y1 = y + b->at.pitch_y * 1e-3;
    double corners[4][2] = {{x, y}, {x1, y}, {x1, y1}, {x, y1}};
    const thaw_polygon tile = {4, corners};
    *out = false;
    for (int i = 0; i < b->sheet->n && !*out; i++) {
        const thaw_extent e = thaw_polygon_extent(&b->sheet->pieces[i].outline);
        double shared = 0.0;
        if (e.x1 > x && e.x0 < x1 && e.y1 > y && e.y0 < y1) {
            thaw_status status = thaw_polygon_shared(&tile, &b->sheet->pieces[i].outline, &shared, err);
            if (status != THAW_OK) {
                return status;
            }
        }
        *out = shared > 0.0;
    }
    return THAW_OK;
}

static thaw_status count_pages(book *b, thaw_error *err)
{
    b->columns = (int)ceil(b->sheet->width_m * 1e3 / b->at.pitch_x - 1e-9);
    b->rows = (int)ceil(b->sheet->length_m * 1e3 / b->at.pitch_y - 1e-9);
    b->page = thaw_allocate((size_t)b->rows * (size_t)b->columns, sizeof *b->page, err);
    b->n_pages = 1;
    if (!b->page) {
        return THAW_ERR_MEMORY;
    }
    for (int k = 0; k < b->rows * b->columns; k++) {
        bool touched = false;
        thaw_status status = is_touched(b, k / b->columns, k % b->columns, &touched, err);
        if (status != THAW_OK) {
            return status;
        }
        b->page[k] = touched ? ++b->n_pages : 0;
    }
    return b->n_pages <= MOST_PAGES ? THAW_OK
                                    : thaw_fail(err, THAW_ERR_ARGUMENT, "the lay takes %d pages, more than %d", b->n_pages, MOST_PAGES);
}

/* ---- one page of the lay ---- */

static void line(cairo_t *cairo, double x0, double y0, double x1, double y1, double width, bool dashed)
{
    const double dash[2] = {2.5, 1.5};
    cairo_set_dash(cairo, dash, dashed ? 2 : 0, 0.0);
    cairo_set_line_width(cairo, width);
    cairo_move_to(cairo, x0, y0);
    cairo_line_to(cairo, x1, y1);
    cairo_stroke(cairo);
    cairo_set_dash(cairo, dash, 0, 0.0);
}

/* Halves that meet where pages are glued right; the number is that of the join. */
static void diamond(cairo_t *cairo, double x, double y, const char *text)
{
    cairo_move_to(cairo, x - DIAMOND, y);
    cairo_line_to(cairo, x, y - DIAMOND);
    cairo_line_to(cairo, x + DIAMOND, y);
    cairo_line_to(cairo, x, y + DIAMOND);
    cairo_close_path(cairo);
    thaw_draw_grey(cairo, 0.75);
    cairo_fill_preserve(cairo);
    thaw_draw_grey(cairo, THAW_INK);
    cairo_set_line_width(cairo, 0.2);
    cairo_stroke(cairo);
    write_text(cairo, x, y - 0.5 * SMALL * THAW_LINE, SMALL, true, 0.0, text);
}

static void draw_joins(const book *b, int row, int column)
{
    const thaw_page_layout *a = &b->at;
    cairo_t *c = b->cairo;
    const double right = a->left + a->pitch_x, bottom = a->top + a->pitch_y;
    char name[16];
    thaw_draw_grey(c, THAW_INK);
    line(c, a->left, a->top, a->left, bottom + a->flap, 0.2, false);
    line(c, a->left, a->top, right + a->flap, a->top, 0.2, false);
    line(c, right, a->top, right, bottom + a->flap, 0.2, true);
    line(c, a->left, bottom, right + a->flap, bottom, 0.2, true);
    for (int side = 0; side < 2; side++) {
        if (column + side > 0 && column + side < b->columns) { /* joins are named by the page left of or above them */
            snprintf(name, sizeof name, "%d", row * b->columns + column + side);
            diamond(c, side ? right : a->left, a->top + 0.5 * a->pitch_y, name);
        }
        if (row + side > 0 && row + side < b->rows) {
            snprintf(name, sizeof name, "%c%d", 'A' + (row + side - 1) % 26, column + 1);
            diamond(c, a->left + 0.5 * a->pitch_x, side ? bottom : a->top, name);
        }
    }
}

/* From here on the context is in metres of the cloth, clipped to what belongs on the page. */
static void enter_cloth(const book *b, int row, int column)
{
    const thaw_page_layout *a = &b->at;
    cairo_rectangle(b->cairo, a->left, a->top, a->pitch_x + a->flap, a->pitch_y + a->flap);
    cairo_clip(b->cairo);
    cairo_translate(b->cairo, a->left - column * a->pitch_x, a->top - row * a->pitch_y);
    cairo_scale(b->cairo, 1e3, 1e3);
}

static void draw_edges(const book *b)
{
    thaw_draw_grey(b->cairo, THAW_FAINT);
    cairo_set_line_width(b->cairo, 0.6e-3);
    cairo_rectangle(b->cairo, 0.0, 0.0, b->sheet->width_m, b->sheet->length_m);
    cairo_stroke(b->cairo);
}

/* Names of the pieces on a page, as far as they go. */
static void list_names(const book *b, int row, int column, char *out, size_t size)
{
    const double x = column * b->at.pitch_x * 1e-3, y = row * b->at.pitch_y * 1e-3;
    size_t n = 0;
    out[0] = '\0';
    for (int i = 0; i < b->sheet->n && n + 1 < size; i++) {
        const thaw_extent e = thaw_polygon_extent(&b->sheet->pieces[i].outline);
        if (e.x1 > x && e.x0 < x + b->at.pitch_x * 1e-3 && e.y1 > y && e.y0 < y + b->at.pitch_y * 1e-3) {
            n += (size_t)snprintf(out + n, size - n, "%s%s", n ? ", " : "", b->sheet->pieces[i].name);
        }
    }
}

static void draw_tile(const book *b, int row, int column)
{
    char foot[400], names[200];
    cairo_save(b->cairo);
    enter_cloth(b, row, column);
    draw_edges(b);
    for (int i = 0; i < b->sheet->n; i++) {
        thaw_mark_outline(b->cairo, &b->sheet->pieces[i], 0.25e-3, false);
    }
    for (int i = 0; i < b->sheet->n; i++) {
        thaw_mark_label(b->cairo, &b->sheet->pieces[i], 1e-3 / FINE, FINE * LABEL_TEXT, b->sheet->pieces[i].remark);
    }
    cairo_restore(b->cairo);
    draw_joins(b, row, column);
    list_names(b, row, column, names, sizeof names);
    snprintf(foot, sizeof foot, "Page %d of %d \xc2\xb7 row %d, column %d \xc2\xb7 %.100s \xc2\xb7 %s", b->page[row * b->columns + column],
             b->n_pages, row + 1, column + 1, b->sheet->title, names);
    write_text(b->cairo, b->at.left, b->at.height - MARGIN - SMALL * THAW_LINE, SMALL, false, b->at.width - 2.0 * MARGIN, foot);
    cairo_show_page(b->cairo);
}

/* ---- the overview ---- */

static void draw_plan(const book *b, double left, double top, double width, double height)
{
    const double whole_x = b->columns * b->at.pitch_x, whole_y = b->rows * b->at.pitch_y;
    const double scale = fmin(width / whole_x, height / whole_y);
    cairo_t *c = b->cairo;
    cairo_save(c);
    cairo_translate(c, left, top);
    cairo_scale(c, scale, scale);
    cairo_save(c);
    cairo_scale(c, 1e3, 1e3);
    draw_edges(b);
    for (int i = 0; i < b->sheet->n; i++) {
        thaw_mark_outline(c, &b->sheet->pieces[i], 0.2e-3 / scale, false);
    }
    cairo_restore(c);
    for (int k = 0; k < b->rows * b->columns; k++) {
        const double x = k % b->columns * b->at.pitch_x, y = k / b->columns * b->at.pitch_y;
        char number[16];
        cairo_set_source_rgb(c, 0.2, 0.35, 0.75);
        cairo_set_line_width(c, 0.2 / scale);
        cairo_rectangle(c, x, y, b->at.pitch_x, b->at.pitch_y);
        cairo_stroke(c);
        snprintf(number, sizeof number, "%d", b->page[k]);
        if (b->page[k]) {
            write_text(c, x + 2.0 / scale, y + 1.0 / scale, SMALL / scale, false, 0.0, number);
        }
    }
    cairo_restore(c);
}

static const char *const ADVICE[] = {
    "Print at 100 %, \xe2\x80\x9c" "actual size\xe2\x80\x9d, not fitted to the page. Measure this square before you print the rest: "
    "each side is 10 cm (3 15/16 in).",
    "On every page cut off what lies left of and above the whole lines (not in the first column and row), lay the page on its neighbours "
    "so that the cut edge meets the broken line and the halves of the diamonds meet, and glue.",
    "Blue numbers above are pages; where there is none, no piece lies and no page is printed.",
    "Whole outline: cut here. Broken outline: sew here. Arrow: grain, its head at the upper end of the piece. Thick grey line: edge of "
    "the cloth."};

static void draw_overview(const book *b)
{
    const thaw_page_layout *a = &b->at;
    const double width = a->width - 2.0 * MARGIN;
    cairo_t *c = b->cairo;
    char text[300];
    double y = MARGIN;
    thaw_draw_grey(c, THAW_INK);
    y += write_text(c, MARGIN, y, TITLE, false, width, b->sheet->title) + 1.0;
    y += write_text(c, MARGIN, y, SMALL, false, width, b->sheet->note) + 3.0;
    draw_plan(b, MARGIN, y, width, a->square_top - y - 4.0);
    thaw_draw_grey(c, 0.0);
    cairo_set_line_width(c, 0.2);
    cairo_rectangle(c, a->square_left, a->square_top, SQUARE, SQUARE);
    cairo_stroke(c);
    write_text(c, a->square_left + 0.5 * SQUARE, a->square_top + 0.5 * SQUARE - 4.0, TITLE, true, 0.0, "10 cm \xc3\x97 10 cm");
    const double right = a->square_left + SQUARE + 6.0;
    double at = a->square_top;
    for (size_t i = 0; i < sizeof ADVICE / sizeof *ADVICE; i++) {
        at += write_text(c, right, at, TEXT, false, a->width - MARGIN - right, ADVICE[i]) + 0.7 * TEXT;
    }
    snprintf(text, sizeof text, "Page 1 of %d \xc2\xb7 %d row%s of %d \xc2\xb7 %.100s", b->n_pages, b->rows, b->rows == 1 ? "" : "s", b->columns,
             b->sheet->title);
    write_text(c, MARGIN, a->height - MARGIN - SMALL * THAW_LINE, SMALL, false, width, text);
    cairo_show_page(c);
}

static thaw_status print_all(book *b, thaw_bytes *bytes, thaw_error *err)
{
    const double width = b->at.width / POINT, height = b->at.height / POINT;
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(grow, bytes, width, height);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, b->sheet->title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z"); /* same bytes */
    b->cairo = cairo_create(surface);
    cairo_scale(b->cairo, 1.0 / POINT, 1.0 / POINT);
    draw_overview(b);
    for (int k = 0; k < b->rows * b->columns; k++) {
        if (b->page[k]) {
            draw_tile(b, k / b->columns, k % b->columns);
        }
    }
    cairo_surface_finish(surface);
    thaw_status status = THAW_OK;
    if (cairo_status(b->cairo) != CAIRO_STATUS_SUCCESS || cairo_surface_status(surface) != CAIRO_STATUS_SUCCESS) {
        status = thaw_fail(err, THAW_ERR_MEMORY, "a page could not be drawn: %s", cairo_status_to_string(cairo_surface_status(surface)));
    }
    cairo_destroy(b->cairo);
    cairo_surface_destroy(surface);
    return status;
}

thaw_status thaw_lay_pdf(const thaw_lay_sheet *sheet, thaw_paper paper, unsigned char **bytes, size_t *n_bytes, int *n_pages,
                         thaw_error *err)
{
    book b = {.sheet = sheet, .at = thaw_page_layout_of(paper)};
    thaw_bytes out = {0};
    thaw_status status = count_pages(&b, err);
    if (status == THAW_OK) {
        status = print_all(&b, &out, err);
    }
    thaw_release(b.page);
    if (status != THAW_OK) {
        thaw_release(out.bytes);
        return status;
    }
    *bytes = out.bytes;
    *n_bytes = out.n;
    *n_pages = b.n_pages;
    return THAW_OK;
}
