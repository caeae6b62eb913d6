/* Numbers of the page in plain words. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "output/page_parts_of.h"
#include "thawprint/say.h"

#define PIECE 64

static bool is_range(const double range[2])
{
    return !isnan(range[0]) && !isnan(range[1]);
}

static double percent(double part, double whole)
{
    return whole > 0.0 ? 100.0 * part / whole : 0.0;
}

/* "3 h to 5 h", or nothing. */
static void say_times(const double range_s[2], char *out, size_t size)
{
    char low[PIECE], high[PIECE];
    out[0] = '\0';
    if (is_range(range_s)) {
        snprintf(out, size, "%s to %s", thaw_page_about(range_s[0], low, sizeof low), thaw_page_about(range_s[1], high, sizeof high));
    }
}

/* "4 to 9 mm" of values times `times`. */
static void say_between(const double range[2], double times, const char *unit, char *out, size_t size)
{
    out[0] = '\0';
    if (is_range(range) && isfinite(range[0]) && isfinite(range[1])) {
        snprintf(out, size, "%.0f to %.0f%s", times * range[0], times * range[1], unit);
    }
}

static void say_white(const thaw_preview_figures *f, char *out, size_t size)
{
    if (f->white_share < 0.005) {
        snprintf(out, size, "under 1 %%");
    } else {
        snprintf(out, size, "%.0f %%", 100.0 * f->white_share);
    }
}

static void say_white_range(const thaw_preview_figures *f, char *out, size_t size)
{
    if (f->white_range[1] < 0.005) {
        snprintf(out, size, "under 1 %%");
    } else {
        say_between(f->white_range, 100.0, " %", out, size);
    }
}

/* ---- the few that matter most ---- */

static void put_fact(thaw_html *h, const char *name, const char *value, const char *more)
{
    thaw_putf(h, "<div><dt>%s</dt><dd>%s", name, value);
    if (more[0]) {
        thaw_putf(h, "<span>%s</span>", more);
    }
    thaw_put(h, "</dd></div>\n");
}

static void put_ice_fact(thaw_html *h, const thaw_preview_figures *f)
{
    char value[2 * PIECE], more[3 * PIECE];
    if (f->ice_kg <= 0.0) {
        return;
    }
    if (f->melted) {
        snprintf(value, sizeof value, "after about ");
        thaw_page_about(f->melt_all_s, value + strlen(value), sizeof value - strlen(value));
        say_times(f->melt_all_range_s, more, sizeof more);
    } else {
        snprintf(value, sizeof value, "not before the rinse");
        snprintf(more, sizeof more, "%.0f g (%.0f %%) still lie there", 1000.0 * f->ice_left_kg, percent(f->ice_left_kg, f->ice_kg));
    }
    put_fact(h, "Last ice gone", value, more);
}

void thaw_part_facts(thaw_html *h, const thaw_page *page)
{
    const thaw_preview_figures *f = page->figures;
    char value[2 * PIECE], more[3 * PIECE];
    thaw_put(h, "<dl class=\"facts\">\n");
    put_ice_fact(h, f);
    if (f->n_dyes > 0) {
        thaw_page_about(f->ready_s, value, sizeof value);
        say_times(f->ready_range_s, more, sizeof more);
        put_fact(h, "Leave it", isfinite(f->ready_s) ? value : "longer than asked for", more);
        snprintf(value, sizeof value, "about %.0f %% of the powder", 100.0 * f->fixed_share);
        say_between(f->fixed_share_range, 100.0, " %", more, sizeof more);
        put_fact(h, "Dye that stays in the cloth", value, more);
    }
    say_white(f, value, sizeof value);
    say_white_range(f, more, sizeof more);
    put_fact(h, "Left white", value, more);
    if (f->hang_m > 0.0 && isfinite(f->climb_m[1])) {
        snprintf(value, sizeof value, "%.0f cm beyond the ice", 100.0 * f->climb_m[1]);
        say_between(f->climb_range_m, 100.0, " cm", more, sizeof more);
        put_fact(h, "Dye climbs", value, more);
    }
    thaw_put(h, "</dl>\n");
    if (page->has_ranges) {
        thaw_put(h, "<p class=\"note\">The smaller figures are the range that holds four times out of five.</p>\n");
    }
}

/* ---- all of them ---- */

static void put_row(thaw_html *h, bool ranges, const char *name, const char *meaning, const char *value, const char *range)
{
    thaw_putf(h, "<tr><th scope=\"row\">%s<span class=\"meaning\">%s</span></th><td>%s</td>", name, meaning, value);
    if (ranges) {
        thaw_putf(h, "<td>%s</td>", range[0] ? range : "-");
    }
    thaw_put(h, "</tr>\n");
}

static void put_time_row(thaw_html *h, bool ranges, const char *name, const char *meaning, double t_s, const double range_s[2])
{
    char value[PIECE], range[3 * PIECE];
    say_times(range_s, range, sizeof range);
    put_row(h, ranges, name, meaning, thaw_page_about(t_s, value, sizeof value), range);
}

static void put_number_row(thaw_html *h, bool ranges, const char *name, const char *meaning, double x, double times,
                           const char *unit, const double range[2])
{
    char value[PIECE], between[2 * PIECE];
    if (isfinite(x)) {
        snprintf(value, sizeof value, "%.0f%s", times * x, unit);
        say_between(range, times, unit, between, sizeof between);
        put_row(h, ranges, name, meaning, value, between);
    }
}

static void put_times(thaw_html *h, const thaw_preview_figures *f, bool ranges)
{
    char value[2 * PIECE], asked[PIECE];
    if (f->ice_kg > 0.0 && f->melted) {
        put_time_row(h, ranges, "Most of the ice gone", "all but one part in a hundred", f->melt_most_s, f->melt_most_range_s);
        put_time_row(h, ranges, "Last ice gone", "the last piece", f->melt_all_s, f->melt_all_range_s);
    } else if (f->ice_kg > 0.0) {
        snprintf(value, sizeof value, "%.0f g when the time is up", 1000.0 * f->ice_left_kg);
        put_row(h, ranges, "Ice left", "it outlasts the time you asked for", value, "");
    }
    if (f->n_dyes > 0 && !isfinite(f->ready_s)) {
        put_row(h, ranges, "Leave it", "until the dye has fixed 95 % of what it ever will here", "longer than asked for", "");
    } else if (f->n_dyes > 0) {
        put_time_row(h, ranges, "Leave it", "then the dye has fixed 95 % of what it ever will here", f->ready_s, f->ready_range_s);
    }
    thaw_page_duration(f->leave_s, asked, sizeof asked);
    if (isfinite(f->fixed_share_of_end)) {
        snprintf(value, sizeof value, "%s, which fixes %.0f %% of it", asked, 100.0 * f->fixed_share_of_end);
    } else {
        snprintf(value, sizeof value, "%s", asked);
    }
    put_row(h, ranges, "Asked for", "the time in the scenario", value, "");
}

static void put_look(thaw_html *h, const thaw_preview_figures *f, bool ranges)
{
    static const double none[2] = {NAN, NAN};
    char value[2 * PIECE], range[2 * PIECE];
    say_white(f, value, sizeof value);
    say_white_range(f, range, sizeof range);
    put_row(h, ranges, "Left white", "share of the cloth that looks undyed; pale places are not counted", value, range);
    put_number_row(h, ranges, "Grain across", "how far along the width before the shade has changed", f->grain_weft_m, 1e3, " mm",
                   f->grain_weft_range_m);
    put_number_row(h, ranges, "Grain along", "the same along the length", f->grain_warp_m, 1e3, " mm", f->grain_warp_range_m);
    put_number_row(h, ranges, "Fineness", "share of the pattern that is finer than 20 mm", f->fineness, 100.0, " %", f->fineness_range);
    if (f->n_dyes > 1) {
        put_number_row(h, ranges, "Bleed", "share of the cloth that shows two or more colours over each other", f->bleed_share, 100.0,
                       " %", f->bleed_range);
    }
    put_number_row(h, ranges, "Depth", "how much darker than bare cloth, in steps of lightness of which white is 100", f->depth, 1.0,
                   "", none);
    put_number_row(h, ranges, f->wet_dry_lightness >= 0.0 ? "Dries paler" : "Dries darker", "than it looks wet, in the same steps",
                   fabs(f->wet_dry_lightness), 1.0, "", none);
    if (f->hang_m > 0.0) {
        put_number_row(h, ranges, "Dye climbs", "beyond the ice, on the cloth that hangs", f->climb_m[1], 100.0, " cm", f->climb_range_m);
    }
}

static void put_amount(thaw_html *h, double kg, double of_kg)
{
    thaw_putf(h, "<td class=\"number\">%.2f g", 1e3 * kg);
    if (of_kg > 0.0) {
        thaw_putf(h, " <span class=\"share\">%.0f %%</span>", percent(kg, of_kg));
    }
    thaw_put(h, "</td>");
}

static void put_dyes(thaw_html *h, const thaw_preview_figures *f)
{
    if (f->n_dyes == 0) {
        return;
    }
    thaw_put(h, "<table><caption>Where the dye goes</caption>\n<thead><tr><th scope=\"col\">dye</th><th scope=\"col\" "
                "class=\"number\">weighed</th><th scope=\"col\" class=\"number\">stays</th><th scope=\"col\" class=\"number\">rinsed "
                "out</th><th scope=\"col\" class=\"number\">ran off</th></tr></thead>\n<tbody>\n");
    for (int i = 0; i < f->n_dyes; i++) {
        const thaw_dye_account *d = &f->dyes[i];
        thaw_put(h, "<tr><th scope=\"row\">");
        thaw_put_text(h, d->name);
        thaw_put(h, "<span class=\"meaning\">");
        thaw_put_text(h, d->generic);
        thaw_put(h, "</span></th>");
        put_amount(h, d->weighed_kg, 0.0);
        put_amount(h, d->fixed_kg, d->weighed_kg);
        put_amount(h, d->rinsed_kg, d->weighed_kg);
        put_amount(h, d->tub_kg, d->weighed_kg);
        thaw_put(h, "</tr>\n");
    }
    thaw_put(h, "</tbody></table>\n");
}

static void put_colours(thaw_html *h, const thaw_preview_figures *f)
{
    char word[PIECE];
    if (f->n_palette == 0) {
        return;
    }
    thaw_put(h, "<h3>Typical colours</h3>\n<ul class=\"colours\">\n");
    for (int i = 0; i < f->n_palette; i++) {
        thaw_put(h, "<li>");
        thaw_put_patch(h, f->palette[i].rgb);
        thaw_putf(h, "<span>%s, %.0f %%</span></li>\n", thaw_say_colour(f->palette[i].lab, word, sizeof word), 100.0 * f->palette[i].share);
    }
    thaw_put(h, "</ul>\n");
}

void thaw_part_figures(thaw_html *h, const thaw_page *page)
{
    const bool ranges = page->has_ranges;
    thaw_put(h, "<section>\n<h2>In figures</h2>\n<table><caption>What to expect</caption>\n<thead><tr><th "
                "scope=\"col\">figure</th><th scope=\"col\">forecast</th>");
    thaw_put(h, ranges ? "<th scope=\"col\">four times out of five</th></tr></thead>\n<tbody>\n" : "</tr></thead>\n<tbody>\n");
    put_times(h, page->figures, ranges);
    put_look(h, page->figures, ranges);
    thaw_put(h, "</tbody></table>\n");
    thaw_put(h, ranges ? "<p class=\"note\">Chance, and what nobody knows exactly of room, ice, cloth and dye, moves a number out of its "
                         "range once in five times.</p>\n"
                       : "<p class=\"note\">One roll of the dice, without ranges: cloth and dye are known to a factor of 1.5 to 3.</p>\n");
    put_colours(h, page->figures);
    put_dyes(h, page->figures);
    thaw_put(h, "</section>\n");
}

/* ---- forecast beside fact ---- */

static void put_pair(thaw_html *h, const char *name, const char *forecast, const char *fact)
{
    thaw_putf(h, "<tr><th scope=\"row\">%s</th><td>%s</td><td>%s</td></tr>\n", name, forecast, fact);
}

static void pair_hours(thaw_html *h, const char *name, double t_s, const double range_s[2], double fact_h)
{
    char forecast[5 * PIECE], range[3 * PIECE], fact[PIECE];
    if (isnan(fact_h)) {
        return;
    }
    thaw_page_about(t_s, forecast, sizeof forecast);
    say_times(range_s, range, sizeof range);
    if (range[0]) {
        snprintf(forecast + strlen(forecast), sizeof forecast - strlen(forecast), " (%s)", range);
    }
    put_pair(h, name, forecast, thaw_page_duration(3600.0 * fact_h, fact, sizeof fact));
}

static void pair_number(thaw_html *h, const char *name, double forecast, const double range[2], double times, const char *unit, double fact)
{
    char said[4 * PIECE], between[2 * PIECE], seen[PIECE];
    if (isnan(fact)) {
        return;
    }
    snprintf(said, sizeof said, isfinite(forecast) ? "%.0f%s" : "not known", times * forecast, unit);
    say_between(range, times, unit, between, sizeof between);
    if (between[0]) {
        snprintf(said + strlen(said), sizeof said - strlen(said), " (%s)", between);
    }
    snprintf(seen, sizeof seen, "%.0f%s", fact, unit);
    put_pair(h, name, said, seen);
}

static void put_photo_colours(thaw_html *h, const thaw_photo_figures *photo)
{
    if (photo->n_palette == 0) {
        return;
    }
    thaw_put(h, "<h3>Colours on the photo</h3>\n<ul class=\"colours\">\n");
    for (int i = 0; i < photo->n_palette; i++) {
        const unsigned char *rgb = photo->palette[i].rgb;
        thaw_put(h, "<li>");
        thaw_put_patch(h, rgb);
        thaw_putf(h, "<span>#%02x%02x%02x, %.0f %%</span></li>\n", (unsigned)rgb[0], (unsigned)rgb[1], (unsigned)rgb[2],
                  100.0 * photo->palette[i].share);
    }
    thaw_put(h, "</ul>\n");
}

static void put_pairs(thaw_html *h, const thaw_preview_figures *f, const thaw_facts *r)
{
    static const double none[2] = {NAN, NAN};
    thaw_put(h, "<table><thead><tr><th scope=\"col\">figure</th><th scope=\"col\">forecast</th><th "
                "scope=\"col\">fact</th></tr></thead>\n<tbody>\n");
    pair_hours(h, "Last ice gone", f->melt_all_s, f->melt_all_range_s, r->melted_h);
    pair_hours(h, "Rinsed after", f->leave_s, none, r->rinsed_h);
    pair_number(h, "Dye climbs", f->climb_m[1], f->climb_range_m, 100.0, " cm", r->climb_cm);
    pair_number(h, "Left white", f->white_share, f->white_range, 100.0, " %", r->white_percent);
    if (r->has_photo) {
        const thaw_photo_figures *photo = &r->photo;
        pair_number(h, "Left white, on the photo", f->white_share, f->white_range, 100.0, " %", photo->white_percent);
        pair_number(h, "Grain across, on the photo", f->grain_weft_m, f->grain_weft_range_m, 1e3, " mm", photo->grain_weft_mm);
        pair_number(h, "Grain along, on the photo", f->grain_warp_m, f->grain_warp_range_m, 1e3, " mm", photo->grain_warp_mm);
        pair_number(h, "Fineness, on the photo", f->fineness, f->fineness_range, 100.0, " %", 100.0 * photo->fineness);
        pair_number(h, "Bleed, on the photo", f->bleed_share, f->bleed_range, 100.0, " %", photo->bleed_percent);
    }
    thaw_put(h, "</tbody></table>\n");
}

static bool tells_numbers(const thaw_facts *r)
{
    const double told[] = {r->melted_h, r->rinsed_h, r->climb_cm, r->white_percent};
    bool any = r->has_photo;
    for (size_t i = 0; i < sizeof told / sizeof *told; i++) {
        any = any || !isnan(told[i]);
    }
    return any;
}

void thaw_part_record(thaw_html *h, const thaw_page *page)
{
    const thaw_facts *r = page->record;
    if (!r) {
        return;
    }
    thaw_put(h, "<section>\n<h2>Forecast and fact</h2>\n");
    if (page->pictures[THAW_PAGE_PHOTO].bytes) {
        thaw_put(h, "<div class=\"two\">\n<figure class=\"plate\">");
        thaw_put_picture(h, &page->pictures[THAW_PAGE_DRY], "Forecast of the dry cloth");
        thaw_put(h, "<figcaption>Forecast.</figcaption></figure>\n<figure class=\"plate\">");
        thaw_put_picture(h, &page->pictures[THAW_PAGE_PHOTO], "Photo of the finished cloth");
        thaw_put(h, "<figcaption>Fact: a photo of the finished cloth.</figcaption></figure>\n</div>\n");
    }
    if (tells_numbers(r)) {
        put_pairs(h, page->figures, r);
    }
    put_photo_colours(h, &r->photo);
    if (r->remarks[0]) {
        thaw_put(h, "<h3>Remarks</h3>\n<p class=\"said\">");
        thaw_put_text(h, r->remarks);
        thaw_put(h, "</p>\n");
    }
    thaw_put(h, "</section>\n");
}
