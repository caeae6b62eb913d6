#include "output/fronts_chart.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/error.h"
#include "output/drawing.h"

/* Layout, pixels. */
#define MARGIN      56.0
#define GAP         64.0
#define TITLE_SIZE  32.0
#define TEXT_SIZE   19.0
#define SMALL_SIZE  17.0
#define PANEL_W     620.0
#define PANEL_H     460.0
#define AXIS_W      62.0           /* left of a panel, for its numbers */
#define AXIS_H      58.0           /* below it */
#define HEAD_H      34.0           /* above it */
#define LEGEND_H    130.0
#define MOST_COLUMNS 3
#define PIXEL_M     0.000254       /* 100 dots to the inch, for what prints it */
#define MOST_CM     1000.0

typedef struct tint {
    double r, g, b;
} tint;
static const tint INKS[] = {{0.05, 0.45, 0.60}, {0.35, 0.20, 0.60}, {0.70, 0.25, 0.10}, {0.15, 0.45, 0.20}, {0.55, 0.10, 0.40}};
static const tint ICE = {0.10, 0.35, 0.80}, WANTED = {0.80, 0.10, 0.10};
#define N_INKS ((int)(sizeof INKS / sizeof *INKS))

typedef struct chart {
    const thaw_border_figures *f;
    const char *title;
    cairo_t *cairo;                /* own elsewhere */
    int first, n_panels, n_columns; /* first: row of the fronts in the first panel */
    double most_h, most_cm;
} chart;

typedef struct panel {
    const chart *chart;
    double x, y;                   /* upper left corner of the plot */
} panel;

static void set_ink(cairo_t *cairo, tint t, double alpha)
{
    cairo_set_source_rgba(cairo, t.r, t.g, t.b, alpha);
}

static double px(const panel *p, double t_s)
{
    return p->x + PANEL_W * t_s / 3600.0 / p->chart->most_h;
}

static double py(const panel *p, double m)
{
    return p->y + PANEL_H * (1.0 - 100.0 * m / p->chart->most_cm);
}

/* 1, 2, 5, 10 ... such that at most `most` of them fill the axis. */
static double tick_step(double length, double most)
{
    const double rough = length / most, power = pow(10.0, floor(log10(rough))), lead = rough / power;
    return power * (lead <= 1.0 ? 1.0 : lead <= 2.0 ? 2.0 : lead <= 5.0 ? 5.0 : 10.0);
}

static void draw_axes(const panel *p)
{
    cairo_t *c = p->chart->cairo;
    char text[32];
    const double step_cm = tick_step(p->chart->most_cm, 7.0), step_h = tick_step(p->chart->most_h, 8.0);
    cairo_set_line_width(c, 1.0);
    for (double cm = 0.0; cm <= p->chart->most_cm + 1e-9; cm += step_cm) {
        thaw_draw_grey(c, 0.86);
        cairo_move_to(c, p->x, py(p, cm / 100.0));
        cairo_line_to(c, p->x + PANEL_W, py(p, cm / 100.0));
        cairo_stroke(c);
        thaw_draw_grey(c, THAW_INK);
        snprintf(text, sizeof text, "%g", cm);
        thaw_draw_text(c, p->x - 26.0, py(p, cm / 100.0) - 0.65 * SMALL_SIZE, SMALL_SIZE, true, 0.0, text);
    }
    for (double h = 0.0; h <= p->chart->most_h + 1e-9; h += step_h) {
        snprintf(text, sizeof text, "%g", h);
        thaw_draw_text(c, px(p, 3600.0 * h), p->y + PANEL_H + 5.0, SMALL_SIZE, true, 0.0, text);
        cairo_move_to(c, px(p, 3600.0 * h), p->y + PANEL_H);
        cairo_line_to(c, px(p, 3600.0 * h), p->y + PANEL_H + 5.0);
        cairo_stroke(c);
    }
    thaw_draw_text(c, p->x - 26.0, p->y - 1.3 * SMALL_SIZE, SMALL_SIZE, true, 0.0, "cm");
    thaw_draw_text(c, p->x + 0.5 * PANEL_W, p->y + PANEL_H + 27.0, SMALL_SIZE, true, 0.0, "hours after the ice is laid on");
    cairo_rectangle(c, p->x, p->y, PANEL_W, PANEL_H);
    cairo_stroke(c);
}

static void trace(const panel *p, const double *m, bool back)
{
    for (int i = 0; i < THAW_BORDER_TIMES; i++) {
        const int t = back ? THAW_BORDER_TIMES - 1 - i : i;
        if (isfinite(m[t])) {
            cairo_line_to(p->chart->cairo, px(p, p->chart->f->times_s[t]), py(p, m[t]));
        }
    }
}

static void draw_level(const panel *p, double m, tint ink, bool dashed, double label_y)
{
    static const double dashes[] = {10.0, 6.0};
    cairo_t *c = p->chart->cairo;
    char text[48];
    set_ink(c, ink, 1.0);
    cairo_set_line_width(c, 2.0);
    cairo_set_dash(c, dashes, dashed ? 2 : 0, 0.0);
    cairo_move_to(c, p->x, py(p, m));
    cairo_line_to(c, p->x + PANEL_W, py(p, m));
    cairo_stroke(c);
    cairo_set_dash(c, NULL, 0, 0.0);
    snprintf(text, sizeof text, dashed ? "wanted end %.4g cm" : "ice up to %.4g cm", 0.1 * round(1000.0 * m));
    thaw_draw_text(c, p->x + PANEL_W - 186.0, py(p, m) + label_y, SMALL_SIZE, false, 0.0, text);
}

static void draw_panel(const panel *p, int row)
{
    static const double dashes[] = {3.0, 5.0};
    const thaw_border_figures *f = p->chart->f;
    const thaw_border_front *front = &f->fronts[row];
    cairo_t *c = p->chart->cairo;
    const tint ink = INKS[(row > 0 ? row - 1 : 0) % N_INKS];
    thaw_draw_grey(c, THAW_INK);
    thaw_draw_text(c, p->x, p->y - HEAD_H + 4.0, TEXT_SIZE, false, PANEL_W, front->name);
    set_ink(c, ICE, 0.08);
    cairo_rectangle(c, p->x, py(p, f->line_m), PANEL_W, py(p, 0.0) - py(p, f->line_m));
    cairo_fill(c);
    draw_axes(p);
    cairo_save(c);
    cairo_rectangle(c, p->x, p->y, PANEL_W, PANEL_H);
    cairo_clip(c);
    trace(p, front->rinsed_m[0], false);
    trace(p, front->rinsed_m[2], true);
    cairo_close_path(c);
    set_ink(c, ink, 0.22);
    cairo_fill(c);
    set_ink(c, ink, 1.0);
    cairo_set_line_width(c, 3.0);
    trace(p, front->rinsed_m[1], false);
    cairo_stroke(c);
    cairo_set_dash(c, dashes, 2, 0.0);
    cairo_set_line_width(c, 2.0);
    trace(p, front->wet_m[1], false);
    cairo_stroke(c);
    cairo_set_dash(c, NULL, 0, 0.0);
    cairo_restore(c);
    draw_level(p, f->line_m, ICE, false, 4.0);
    draw_level(p, f->end_m, WANTED, true, -1.45 * SMALL_SIZE);
}

/* A sample of each kind of line and its meaning. */
static void draw_legend(const chart *ch, double y, double width)
{
    static const double dashes[] = {3.0, 5.0};
    cairo_t *c = ch->cairo;
    char text[200];
    set_ink(c, INKS[0], 0.22);
    cairo_rectangle(c, MARGIN, y + 2.0, 60.0, 18.0);
    cairo_fill(c);
    set_ink(c, INKS[0], 1.0);
    cairo_set_line_width(c, 3.0);
    cairo_move_to(c, MARGIN, y + 11.0);
    cairo_line_to(c, MARGIN + 60.0, y + 11.0);
    cairo_stroke(c);
    thaw_draw_grey(c, THAW_INK);
    y += thaw_draw_text(c, MARGIN + 76.0, y, SMALL_SIZE, false, width - 76.0,
                        "where the dye would end if rinsed at that hour: middle of the runs, and the band that holds four of five") + 6.0;
    set_ink(c, INKS[0], 1.0);
    cairo_set_dash(c, dashes, 2, 0.0);
    cairo_set_line_width(c, 2.0);
    cairo_move_to(c, MARGIN, y + 11.0);
    cairo_line_to(c, MARGIN + 60.0, y + 11.0);
    cairo_stroke(c);
    cairo_set_dash(c, NULL, 0, 0.0);
    thaw_draw_grey(c, THAW_INK);
    y += thaw_draw_text(c, MARGIN + 76.0, y, SMALL_SIZE, false, width - 76.0,
                        "the edge of the dye that is seen on the wet cloth: middle of the runs") + 6.0;
    snprintf(text, sizeof text, "Heights in cm along the cloth from its dyed end. %d runs with other luck, room, ice, cloth and dye.",
             ch->f->n_came_through);
    thaw_draw_text(c, MARGIN, y, SMALL_SIZE, false, width, text);
}

static thaw_status draw(chart *ch, double width, thaw_error *err)
{
    char text[200];
    (void)err;
    double y = MARGIN + thaw_draw_text(ch->cairo, MARGIN, MARGIN, TITLE_SIZE, false, width - 2.0 * MARGIN, ch->title);
    snprintf(text, sizeof text,
             ch->f->is_met ? "Ice up to %g cm: in %.0f of 100 cases the dye ends at %.0f cm or before"
                           : "Even with ice only up to %g cm: in %.0f of 100 cases the dye ends at %.0f cm or before",
             0.1 * round(1000.0 * ch->f->line_m), 100.0 * ch->f->sure, 100.0 * ch->f->ends.sure_m);
    y += thaw_draw_text(ch->cairo, MARGIN, y + 4.0, TEXT_SIZE, false, width - 2.0 * MARGIN, text) + 18.0;
    for (int i = 0; i < ch->n_panels; i++) {
        const int column = i % ch->n_columns, row = i / ch->n_columns;
        const panel p = {ch, MARGIN + AXIS_W + column * (PANEL_W + AXIS_W + GAP),
                         y + HEAD_H + row * (PANEL_H + HEAD_H + AXIS_H + 12.0)};
        draw_panel(&p, ch->first + i);
    }
    const int rows = (ch->n_panels + ch->n_columns - 1) / ch->n_columns;
    draw_legend(ch, y + rows * (PANEL_H + HEAD_H + AXIS_H + 12.0) + 8.0, width - 2.0 * MARGIN);
    return THAW_OK;
}

static double highest_cm(const thaw_border_figures *f)
{
    double m = fmax(f->end_m, f->line_m);
    for (int r = 0; r < f->n_fronts; r++) {
        for (int t = 0; t < THAW_BORDER_TIMES; t++) {
            m = fmax(m, fmax(f->fronts[r].rinsed_m[2][t], f->fronts[r].wet_m[1][t]));
        }
    }
    return fmin(MOST_CM, 108.0 * m);
}

thaw_status thaw_fronts_chart(const thaw_border_figures *figures, const char *title, thaw_image *out, thaw_error *err)
{
    const bool alone = figures->n_fronts <= 2; /* one dye: all dyes are that one */
    chart ch = {.f = figures, .title = title, .first = figures->n_fronts > 1 ? 1 : 0, .most_h = figures->leave_s / 3600.0,
                .most_cm = highest_cm(figures)};
    if (figures->n_fronts < 1 || !(ch.most_h > 0.0) || !(ch.most_cm > 0.0)) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "no front of dye to draw");
    }
    ch.n_panels = alone ? 1 : figures->n_fronts - 1;
    ch.n_columns = ch.n_panels < MOST_COLUMNS ? ch.n_panels : MOST_COLUMNS;
    const int rows = (ch.n_panels + ch.n_columns - 1) / ch.n_columns;
    const double width = 2.0 * MARGIN + ch.n_columns * (PANEL_W + AXIS_W) + (ch.n_columns - 1) * GAP;
    const double height = 2.0 * MARGIN + 2.0 * TITLE_SIZE + 2.0 * TEXT_SIZE + rows * (PANEL_H + HEAD_H + AXIS_H + 12.0) + LEGEND_H;
    thaw_status status = thaw_draw_begin(ceil(width), ceil(height), &ch.cairo, err);
    if (status != THAW_OK) {
        return status;
    }
    status = draw(&ch, width, err);
    if (status == THAW_OK) {
        status = thaw_draw_end(ch.cairo, PIXEL_M, out, err);
    }
    cairo_destroy(ch.cairo);
    return status;
}
