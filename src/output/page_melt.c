/* The melt on the page: frames as a list that a script turns into a picture with a slider, and the curve of the ice. */
#include <math.h>
#include <stdio.h>

#include "output/page_parts_of.h"

#define KEY_FRAMES 6               /* that are printed */
#define WIDE 720.0                 /* units of the drawing */
#define HIGH 190.0
#define LEFT 58.0
#define RIGHT 8.0
#define TOP 12.0
#define BOTTOM 34.0
#define CURVE_POINTS 200
#define MOST_TICKS 9

/* Frames that stand for all in print: the first, the last, evenly between. */
static bool is_key(int i, int n)
{
    for (int k = 0; k < KEY_FRAMES; k++) {
        if (i == (int)(0.5 + (double)k * (n - 1) / (KEY_FRAMES - 1))) {
            return true;
        }
    }
    return n <= KEY_FRAMES;
}

static void put_frame(thaw_html *h, const thaw_page *page, int i)
{
    const thaw_page_frame *frame = &page->frames[i];
    char time[64], words[256], alt[384];
    const double ice = page->figures->ice_kg > 0.0 ? 100.0 * frame->ice_kg / page->figures->ice_kg : 0.0;
    if (i == 0) {
        snprintf(time, sizeof time, "At the start");
    } else {
        snprintf(time, sizeof time, "After ");
        thaw_page_duration(frame->time_s, time + 6, sizeof time - 6);
    }
    if (page->figures->ice_kg > 0.0) {
        snprintf(words, sizeof words, "%s: %s%.0f %% of the ice left, cloth %.0f %% full of water", time,
                 ice > 0.0 && ice < 1.0 ? "under " : "", ice > 0.0 && ice < 1.0 ? 1.0 : ice, 100.0 * fmin(1.0, frame->wet_share));
    } else {
        snprintf(words, sizeof words, "%s: cloth %.0f %% full of water", time, 100.0 * fmin(1.0, frame->wet_share));
    }
    snprintf(alt, sizeof alt, "The bundle from above, and the cloth as it would look unfolded. %s", words);
    thaw_putf(h, "<li%s data-hours=\"%.4f\"><figure>", is_key(i, page->n_frames) ? " class=\"key\"" : "", frame->time_s / 3600.0);
    thaw_put_picture(h, &frame->picture, alt);
    thaw_putf(h, "<figcaption>%s</figcaption></figure></li>\n", words);
}

static void put_frames(thaw_html *h, const thaw_page *page)
{
    thaw_put(h, "<p>The bundle from above under its ice, and the cloth as it would look if it were unfolded at that moment.</p>\n"
                "<div class=\"viewer\" id=\"viewer\" hidden>\n<div class=\"halves\"><div class=\"half\"></div><div class=\"half\"></div></div>\n"
                "<label for=\"time\">Time from laying on the ice to the rinse</label>\n");
    thaw_putf(h, "<input type=\"range\" id=\"time\" min=\"0\" max=\"%d\" value=\"0\">\n", page->n_frames - 1);
    thaw_put(h, "<div class=\"controls\"><button type=\"button\" id=\"play\">Play</button><output id=\"said\" for=\"time\"></output></div>\n"
                "</div>\n<ol class=\"frames\" id=\"frames\">\n");
    for (int i = 0; i < page->n_frames; i++) {
        put_frame(h, page, i);
    }
    thaw_put(h, "</ol>\n");
}

/* Hours between ticks: 1, 2, 3, 6, 12, 24 ... */
static double tick_hours(double hours)
{
    static const double steps[] = {0.25, 0.5, 1, 2, 3, 6, 12, 24, 48, 96, 192};
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++) {
        if (hours / steps[i] <= MOST_TICKS) {
            return steps[i];
        }
    }
    return hours;
}

static const char *say_mass(double kg, char out[24])
{
    snprintf(out, 24, kg < 1.0 ? "%.0f g" : "%.3g kg", kg < 1.0 ? 1000.0 * kg : kg);
    return out;
}

static void put_axes(thaw_html *h, double hours, double most_kg, double per_h)
{
    char mass[24];
    const double base = HIGH - BOTTOM, step = tick_hours(hours);
    thaw_putf(h, "<line class=\"axis\" x1=\"%.0f\" y1=\"%.0f\" x2=\"%.0f\" y2=\"%.0f\"/>\n", LEFT, base, WIDE - RIGHT, base);
    for (double t = 0.0; t <= hours * 1.0001; t += step) {
        const double x = LEFT + per_h * t;
        thaw_putf(h, "<line class=\"axis\" x1=\"%.1f\" y1=\"%.0f\" x2=\"%.1f\" y2=\"%.0f\"/>"
                  "<text x=\"%.1f\" y=\"%.0f\" text-anchor=\"%s\">%g h</text>\n",
                  x, base, x, base + 5.0, x, base + 20.0, x > WIDE - RIGHT - 12.0 ? "end" : "middle", t);
    }
    thaw_putf(h, "<text x=\"%.0f\" y=\"%.0f\" text-anchor=\"end\">%s</text>\n", LEFT - 6.0, TOP + 4.0, say_mass(most_kg, mass));
    thaw_putf(h, "<text x=\"%.0f\" y=\"%.0f\" text-anchor=\"end\">0</text>\n", LEFT - 6.0, base + 4.0);
}

static void put_curve(thaw_html *h, const thaw_page *page)
{
    const int n = page->n_points;
    double most = 0.0;
    for (int i = 0; i < n; i++) {
        most = fmax(most, page->points[i].ice_kg);
    }
    if (n < 2 || !(most > 0.0) || !(page->points[n - 1].time_h > 0.0)) {
        return;
    }
    const double hours = page->points[n - 1].time_h, per_h = (WIDE - LEFT - RIGHT) / hours;
    const int step = n / CURVE_POINTS + 1;
    char gone[64], mass[24];
    thaw_put(h, "<figure class=\"together\"><svg class=\"curve\" role=\"img\" aria-label=\"Curve of the ice that is left over time");
    if (page->figures->melted) {
        thaw_putf(h, ", from %s to none after about %s", say_mass(most, mass), thaw_page_about(page->figures->melt_all_s, gone, sizeof gone));
    }
    thaw_putf(h, "\" viewBox=\"0 0 %.0f %.0f\">\n", WIDE, HIGH);
    put_axes(h, hours, most, per_h);
    thaw_put(h, "<polyline class=\"ice\" points=\"");
    for (int i = 0; i < n; i += i + step < n || i == n - 1 ? step : n - 1 - i) {
        thaw_putf(h, "%.1f,%.1f ", LEFT + per_h * page->points[i].time_h,
                  TOP + (HIGH - BOTTOM - TOP) * (1.0 - page->points[i].ice_kg / most));
    }
    thaw_put(h, "\"/>\n");
    if (page->n_frames > 0) {
        thaw_putf(h, "<line class=\"now\" id=\"now\" data-left=\"%.1f\" data-per-hour=\"%.5f\" x1=\"%.1f\" y1=\"%.0f\" x2=\"%.1f\" y2=\"%.0f\"/>\n",
                  LEFT, per_h, LEFT, TOP - 6.0, LEFT, HIGH - BOTTOM);
    }
    thaw_put(h, "</svg>\n<figcaption>Ice that is left on the bundle.</figcaption></figure>\n");
}

void thaw_part_melt(thaw_html *h, const thaw_page *page)
{
    if (page->n_frames == 0 && page->n_points < 2) {
        return;
    }
    thaw_put(h, "<section>\n<h2>Watching the melt</h2>\n");
    if (page->n_frames > 0) {
        put_frames(h, page);
    }
    put_curve(h, page);
    thaw_put(h, "</section>\n");
}
