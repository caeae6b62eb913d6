#include "output/strip_sheet.h"

#include <math.h>
#include <stdio.h>

#include "output/drawing.h"

#define PI       3.14159265358979323846
#define WIDTH    1200.0
#define HEIGHT   860.0
#define LEFT     110.0
#define RIGHT    50.0
#define BOTTOM   100.0
#define TITLE    30.0
#define TEXT     20.0
#define PIXEL_M  (0.0254 / 150.0)  /* prints 20 cm wide */
#define MM_PER_M 1000.0

/* Where the plot lies on the sheet, and what its far corner stands for. */
typedef struct frame {
    double left, top, right, bottom;
    double most_t, most_h;         /* in the units of the axes */
    double unit_s;                 /* of the axis of time */
} frame;

static double x_at(const frame *f, double t_s)
{
    return f->left + (f->right - f->left) * t_s / f->unit_s / f->most_t;
}

static double y_at(const frame *f, double h_m)
{
    return f->bottom - (f->bottom - f->top) * fmin(1.0, h_m * MM_PER_M / f->most_h);
}

double thaw_strip_line_s(double end_s, int i)
{
    const double x = (double)i / (THAW_STRIP_LINE - 1);
    return end_s * x * x;
}

/* The step of 1, 2, 5, 10 ... that makes at most `most` of them up to `end`. */
static double step_of(double end, int most)
{
    double power = pow(10.0, floor(log10(end / most)));
    const double lead = end / most / power;
    return power * (lead <= 1.0 ? 1.0 : lead <= 2.0 ? 2.0 : lead <= 5.0 ? 5.0 : 10.0);
}

static void draw_axes(cairo_t *cairo, const frame *f)
{
    char label[32];
    const double dt = step_of(f->most_t, 10), dh = step_of(f->most_h, 8);
    cairo_set_line_width(cairo, 1.0);
    for (int i = 0; i * dt <= f->most_t * 1.0001; i++) {
        const double x = x_at(f, i * dt * f->unit_s);
        thaw_draw_grey(cairo, 0.87);
        cairo_move_to(cairo, x, f->top);
        cairo_line_to(cairo, x, f->bottom);
        cairo_stroke(cairo);
        thaw_draw_grey(cairo, THAW_INK);
        snprintf(label, sizeof label, "%g", i * dt);
        thaw_draw_text(cairo, x, f->bottom + 8.0, TEXT, true, 0.0, label);
    }
    for (int i = 0; i * dh <= f->most_h * 1.0001; i++) {
        const double y = y_at(f, i * dh / MM_PER_M);
        thaw_draw_grey(cairo, 0.87);
        cairo_move_to(cairo, f->left, y);
        cairo_line_to(cairo, f->right, y);
        cairo_stroke(cairo);
        thaw_draw_grey(cairo, THAW_INK);
        snprintf(label, sizeof label, "%g", i * dh);
        thaw_draw_text(cairo, f->left - 34.0, y - 0.6 * TEXT, TEXT, true, 0.0, label);
    }
    cairo_set_line_width(cairo, 1.5);
    cairo_rectangle(cairo, f->left, f->top, f->right - f->left, f->bottom - f->top);
    cairo_stroke(cairo);
    snprintf(label, sizeof label, "time, %s", f->unit_s > 1.0 ? "min" : "s");
    thaw_draw_text(cairo, 0.5 * (f->left + f->right), f->bottom + 44.0, TEXT, true, 0.0, label);
    thaw_draw_text(cairo, f->left + 10.0, f->top + 6.0, TEXT, false, 0.0, "height above the water, mm");
}

static void draw_line(cairo_t *cairo, const frame *f, const double *h_m, double end_s, double grey, double dash)
{
    const double dashes[] = {dash, dash};
    cairo_save(cairo);
    cairo_rectangle(cairo, f->left, f->top, f->right - f->left, f->bottom - f->top);
    cairo_clip(cairo);
    thaw_draw_grey(cairo, grey);
    cairo_set_line_width(cairo, 3.0);
    cairo_set_dash(cairo, dashes, dash > 0.0 ? 2 : 0, 0.0);
    cairo_move_to(cairo, x_at(f, 0.0), y_at(f, 0.0));
    for (int i = 1; i < THAW_STRIP_LINE; i++) {
        cairo_line_to(cairo, x_at(f, thaw_strip_line_s(end_s, i)), y_at(f, h_m[i]));
    }
    cairo_stroke(cairo);
    cairo_restore(cairo);
}

static void draw_key_line(cairo_t *cairo, double x, double y, double grey, double dash, const char *text)
{
    const double dashes[] = {dash, dash};
    cairo_save(cairo);
    thaw_draw_grey(cairo, grey);
    cairo_set_line_width(cairo, 3.0);
    cairo_set_dash(cairo, dashes, dash > 0.0 ? 2 : 0, 0.0);
    cairo_move_to(cairo, x, y + 0.6 * TEXT);
    cairo_line_to(cairo, x + 46.0, y + 0.6 * TEXT);
    cairo_stroke(cairo);
    cairo_restore(cairo);
    thaw_draw_grey(cairo, THAW_INK);
    thaw_draw_text(cairo, x + 58.0, y, TEXT, false, 0.0, text);
}

static void draw_dot(cairo_t *cairo, double x, double y)
{
    cairo_set_source_rgb(cairo, 0.05, 0.36, 0.55);
    cairo_arc(cairo, x, y, 7.0, 0.0, 2.0 * PI);
    cairo_fill(cairo);
}

static void draw_key(cairo_t *cairo, const frame *f, const thaw_strip_picture *p)
{
    const double x = f->right - 400.0, line = THAW_LINE * TEXT;
    double y = f->bottom - (p->before_name ? 3.0 : 2.0) * line - 14.0;
    char text[96];
    draw_dot(cairo, x + 23.0, y + 0.6 * TEXT);
    thaw_draw_grey(cairo, THAW_INK);
    thaw_draw_text(cairo, x + 58.0, y, TEXT, false, 0.0, "read");
    draw_key_line(cairo, x, y += line, THAW_INK, 0.0, "fitted");
    if (p->before_name) {
        snprintf(text, sizeof text, "%.60s as it stood", p->before_name);
        draw_key_line(cairo, x, y + line, THAW_FAINT, 9.0, text);
    }
}

static double highest(const thaw_strip_picture *p)
{
    double most = p->fit_m[THAW_STRIP_LINE - 1];
    for (int i = 0; i < p->n; i++) {
        most = fmax(most, p->height_m[i]);
    }
    return p->before_name ? fmax(most, fmin(2.0 * most, p->before_m[THAW_STRIP_LINE - 1])) : most;
}

static void draw(cairo_t *cairo, const thaw_strip_picture *p)
{
    double y = 24.0;
    y += thaw_draw_text(cairo, LEFT, y, TITLE, false, WIDTH - LEFT - RIGHT, p->title) + 8.0;
    for (int i = 0; i < 3 && p->lines[i]; i++) {
        y += thaw_draw_text(cairo, LEFT, y, TEXT, false, WIDTH - LEFT - RIGHT, p->lines[i]) + 4.0;
    }
    const double unit_s = p->end_s > 120.0 ? 60.0 : 1.0;
    const frame f = {LEFT, y + 14.0, WIDTH - RIGHT, HEIGHT - BOTTOM, p->end_s / unit_s, 1.06 * highest(p) * MM_PER_M, unit_s};
    draw_axes(cairo, &f);
    if (p->before_name) {
        draw_line(cairo, &f, p->before_m, p->end_s, THAW_FAINT, 9.0);
    }
    draw_line(cairo, &f, p->fit_m, p->end_s, THAW_INK, 0.0);
    for (int i = 0; i < p->n; i++) {
        draw_dot(cairo, x_at(&f, p->t_s[i]), y_at(&f, p->height_m[i]));
    }
    draw_key(cairo, &f, p);
}

thaw_status thaw_strip_sheet(const thaw_strip_picture *picture, thaw_image *out, thaw_error *err)
{
    cairo_t *cairo = NULL;
    thaw_status status = thaw_draw_begin(WIDTH, HEIGHT, &cairo, err);
    if (status == THAW_OK) {
        draw(cairo, picture);
        status = thaw_draw_end(cairo, PIXEL_M, out, err);
        cairo_destroy(cairo);
    }
    return status;
}
