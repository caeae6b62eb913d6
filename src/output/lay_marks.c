#include "output/lay_marks.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "output/drawing.h"

#define GRID       48              /* places tried for the middle of a piece, each way */
#define ARROW      0.55            /* length of the arrow / height of the piece at its middle */
#define LEAST_TEXT 0.55            /* text does not get smaller than that, against what was asked */

void thaw_mark_path(cairo_t *cairo, const thaw_polygon *polygon)
{
    for (int i = 0; i < polygon->n; i++) {
        if (i == 0) {
            cairo_move_to(cairo, polygon->at[i][0], polygon->at[i][1]);
        } else {
            cairo_line_to(cairo, polygon->at[i][0], polygon->at[i][1]);
        }
    }
    cairo_close_path(cairo);
}

/* The pen is in sheet units: cairo 1.16 takes dashes of upright lines to be in pixels whatever the scale. */
static void stroke_twice(cairo_t *cairo, double unit, bool on_picture, double width, bool dashed)
{
    const double dash[2] = {on_picture ? 8.0 : 12.0, on_picture ? 5.0 : 8.0};
    cairo_save(cairo);
    cairo_scale(cairo, unit, unit);
    cairo_set_dash(cairo, dash, dashed ? 2 : 0, 0.0);
    cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
    if (on_picture) {
        cairo_set_source_rgba(cairo, 1.0, 1.0, 1.0, 0.9);
        cairo_set_line_width(cairo, 2.6 * width);
        cairo_stroke_preserve(cairo);
    }
    thaw_draw_grey(cairo, on_picture ? 0.05 : THAW_INK);
    cairo_set_line_width(cairo, width);
    cairo_stroke(cairo);
    cairo_restore(cairo);
}

void thaw_mark_outline(cairo_t *cairo, const thaw_cut_out *piece, double unit, bool on_picture)
{
    thaw_mark_path(cairo, &piece->outline);
    stroke_twice(cairo, unit, on_picture, on_picture ? 2.2 : 1.2, false);
    if (piece->seam.n > 0) {
        thaw_mark_path(cairo, &piece->seam);
        stroke_twice(cairo, unit, on_picture, on_picture ? 1.1 : 0.7, true);
    }
}

static bool holds(const thaw_polygon *p, double x, double y)
{
    bool inside = false;
    for (int i = 0, j = p->n - 1; i < p->n; j = i++) {
        const double *a = p->at[i], *b = p->at[j];
        if ((a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])) {
            inside = !inside;
        }
    }
    return inside;
}

static double distance_to(const thaw_polygon *p, double x, double y)
{
    double least = INFINITY;
    for (int i = 0; i < p->n; i++) {
        const double *a = p->at[i], *b = p->at[i + 1 < p->n ? i + 1 : 0];
        const double dx = b[0] - a[0], dy = b[1] - a[1], square = dx * dx + dy * dy;
        const double t = square > 0.0 ? fmin(1.0, fmax(0.0, ((x - a[0]) * dx + (y - a[1]) * dy) / square)) : 0.0;
        least = fmin(least, hypot(x - a[0] - t * dx, y - a[1] - t * dy));
    }
    return least;
}

void thaw_mark_middle(const thaw_polygon *outline, double out[2], double *far)
{
    const thaw_extent e = thaw_polygon_extent(outline);
    const double mid_x = 0.5 * (e.x0 + e.x1), mid_y = 0.5 * (e.y0 + e.y1), size = hypot(e.x1 - e.x0, e.y1 - e.y0);
    double best = -INFINITY;
    out[0] = outline->at[0][0];
    out[1] = outline->at[0][1];
    *far = 0.0;
    for (int j = 0; j < GRID; j++) {
        for (int i = 0; i < GRID; i++) {
            const double x = e.x0 + (i + 0.5) / GRID * (e.x1 - e.x0), y = e.y0 + (j + 0.5) / GRID * (e.y1 - e.y0);
            if (!holds(outline, x, y)) {
                continue;
            }
            /* Of places equally far inside, the one nearest the middle of the box. */
            const double d = distance_to(outline, x, y), worth = d - 0.05 * size * hypot((x - mid_x) / size, (y - mid_y) / size);
            if (worth > best) {
                best = worth;
                out[0] = x;
                out[1] = y;
                *far = d;
            }
        }
    }
}

/* How far one may go from (x, y) up or down within the outline. */
static double reach(const thaw_polygon *p, double x, double y, int way)
{
    double least = INFINITY;
    for (int i = 0; i < p->n; i++) {
        const double *a = p->at[i], *b = p->at[i + 1 < p->n ? i + 1 : 0];
        if ((a[0] > x) != (b[0] > x)) {
            const double d = way * (a[1] + (x - a[0]) / (b[0] - a[0]) * (b[1] - a[1]) - y);
            least = d >= 0.0 ? fmin(least, d) : least;
        }
    }
    return isfinite(least) ? least : 0.0;
}

static void draw_arrow(cairo_t *cairo, const thaw_cut_out *piece, const double middle[2], double unit, double text_size)
{
    const double x = middle[0], up = ARROW * 2.0 * reach(&piece->outline, x, middle[1], -1) * 0.8;
    const double down = ARROW * 2.0 * reach(&piece->outline, x, middle[1], 1) * 0.8;
    const double top = middle[1] - fmin(up, 0.9 * reach(&piece->outline, x, middle[1], -1));
    const double bottom = middle[1] + fmin(down, 0.9 * reach(&piece->outline, x, middle[1], 1));
    const double tip = piece->is_turned ? bottom : top, way = piece->is_turned ? -1.0 : 1.0, size = 0.6 * text_size * unit;
    for (int pass = 0; pass < 2; pass++) {
        cairo_set_source_rgba(cairo, pass ? 0.05 : 1.0, pass ? 0.05 : 1.0, pass ? 0.05 : 1.0, pass ? 1.0 : 0.85);
        cairo_set_line_width(cairo, (pass ? 0.09 : 0.26) * text_size * unit);
        cairo_move_to(cairo, x, top);
        cairo_line_to(cairo, x, bottom);
        cairo_move_to(cairo, x - 0.5 * size, tip + way * size);
        cairo_line_to(cairo, x, tip);
        cairo_line_to(cairo, x + 0.5 * size, tip + way * size);
        cairo_stroke(cairo);
    }
}

void thaw_mark_label(cairo_t *cairo, const thaw_cut_out *piece, double unit, double text_size, const char *lines)
{
    double middle[2], far = 0.0;
    char text[512];
    thaw_mark_middle(&piece->outline, middle, &far);
    snprintf(text, sizeof text, "%s%s%s", piece->name, lines[0] ? "\n" : "", lines);
    size_t longest = 1, n = 0;
    for (const char *at = text; *at; at++) {
        n = *at == '\n' ? 0 : n + (((unsigned char)*at & 0xC0u) != 0x80u);
        longest = n > longest ? n : longest;
    }
    const double room = 1.9 * far / unit, wanted = 0.62 * text_size * (double)longest;
    const double size = fmax(LEAST_TEXT * text_size, fmin(text_size, text_size * room / wanted));
    cairo_save(cairo);
    draw_arrow(cairo, piece, middle, unit, size);
    cairo_translate(cairo, middle[0], middle[1]);
    cairo_scale(cairo, unit, unit);
    const double height = thaw_draw_text_height(cairo, size, 0.0, text), width = 0.62 * size * (double)longest;
    cairo_set_source_rgba(cairo, 1.0, 1.0, 1.0, 0.82);
    cairo_rectangle(cairo, -0.5 * width - 0.3 * size, -0.5 * height - 0.15 * size, width + 0.6 * size, height + 0.3 * size);
    cairo_fill(cairo);
    thaw_draw_grey(cairo, 0.05);
    double y = -0.5 * height;
    for (char *at = text, *end; at; at = end) {
        end = strchr(at, '\n');
        if (end) {
            *end++ = '\0';
        }
        y += thaw_draw_text(cairo, 0.0, y, size, true, 0.0, at);
    }
    cairo_restore(cairo);
}
