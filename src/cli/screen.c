#include "screen.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include <thawprint/say.h>

#define DRIED_MUCH 0.05 /* share of the powder: choice */
#define CARRIED_MUCH 0.8 /* share of the powder that ran to the tub: choice */

/* "4 h (3 h to 5 h)": what is most likely, and between what it lies four times out of five. */
static const char *about_range(double t_s, const double range_s[2], char *out, size_t size)
{
    char middle[32], low[32], high[32];
    if (isnan(range_s[0]) || isnan(range_s[1])) {
        snprintf(out, size, "%s", thaw_say_about(t_s, middle, sizeof middle));
        return out;
    }
    snprintf(out, size, "%s (%s to %s)", thaw_say_about(t_s, middle, sizeof middle), thaw_say_about(range_s[0], low, sizeof low),
             thaw_say_about(range_s[1], high, sizeof high));
    return out;
}

/* " (low to high UNIT)" times what the unit asks, or nothing if there is no range. */
static const char *range_text(const double range[2], double times, const char *unit, char *out, size_t size)
{
    out[0] = '\0';
    if (isfinite(range[0]) && isfinite(range[1])) {
        snprintf(out, size, " (%.0f to %.0f%s)", times * range[0], times * range[1], unit);
    }
    return out;
}

static double percent(double part, double whole)
{
    return whole > 0.0 ? 100.0 * part / whole : 0.0;
}

static void print_melt(const thaw_preview_figures *f)
{
    char most[112], all[112];
    if (f->ice_kg <= 0.0) {
        printf("Ice          none\n");
    } else if (f->melted) {
        printf("Ice gone     all but 1 %% after about %s,\n             the last piece after about %s\n",
               about_range(f->melt_most_s, f->melt_most_range_s, most, sizeof most),
               about_range(f->melt_all_s, f->melt_all_range_s, all, sizeof all));
    } else {
        printf("Ice gone     NOT before the rinse: %.0f g (%.0f %%) still lie there after %s\n",
               f->ice_left_kg * 1000.0, percent(f->ice_left_kg, f->ice_kg),
               thaw_say_duration(f->leave_s, all, sizeof all));
    }
}

static void print_leave(const thaw_preview_figures *f)
{
    char ready[112], asked[32];
    if (f->n_dyes == 0) {
        printf("Leave it     no dye, so nothing to wait for but the ice\n");
        return;
    }
    thaw_say_duration(f->leave_s, asked, sizeof asked);
    if (isfinite(f->ready_s)) {
        printf("Leave it     about %s:\n             then the dye has fixed 95 %% of what it ever will here\n",
               about_range(f->ready_s, f->ready_range_s, ready, sizeof ready));
    } else {
        printf("Leave it     %s\n", f->melted ? "not known" : "longer than was computed: ice still lies on the cloth then");
    }
    printf("             (asked for: %s, which fixes %.0f %% of it)\n", asked,
           100.0 * f->fixed_share_of_end);
}

/* Bytes of a name that take no column of their own (UTF-8). */
static int extra_bytes(const char *name)
{
    int n = 0;
    for (const char *at = name; *at; at++) {
        n += ((unsigned char)*at & 0xC0u) == 0x80u;
    }
    return n;
}

static int name_width(const thaw_preview_figures *f)
{
    int width = 20;
    for (int i = 0; i < f->n_dyes; i++) {
        const int n = (int)strlen(f->dyes[i].name) - extra_bytes(f->dyes[i].name);
        width = n > width ? n : width;
    }
    return width;
}

static void print_dye(const thaw_preview_figures *f)
{
    double weighed = 0.0, fixed = 0.0, rinsed = 0.0, tub = 0.0, ice = 0.0;
    for (int i = 0; i < f->n_dyes; i++) {
        weighed += f->dyes[i].weighed_kg;
        fixed += f->dyes[i].fixed_kg;
        rinsed += f->dyes[i].rinsed_kg;
        tub += f->dyes[i].tub_kg;
        ice += f->dyes[i].ice_kg;
    }
    if (f->n_dyes == 0) {
        return;
    }
    const int width = name_width(f);
    printf("\n%-*s %8s  %13s  %13s  %13s\n", width + 2, "Dye", "weighed", "fixed", "rinsed out", "to the tub");
    for (int i = 0; i < f->n_dyes; i++) {
        const thaw_dye_account *d = &f->dyes[i];
        printf("  %-*s %6.2f g  %6.2f g %3.0f %%  %6.2f g %3.0f %%  %6.2f g %3.0f %%\n", width + extra_bytes(d->name), d->name,
               d->weighed_kg * 1e3, d->fixed_kg * 1e3, percent(d->fixed_kg, d->weighed_kg),
               d->rinsed_kg * 1e3, percent(d->rinsed_kg, d->weighed_kg), d->tub_kg * 1e3,
               percent(d->tub_kg, d->weighed_kg));
    }
    printf("  %-*s %6.2f g  %6.2f g %3.0f %%  %6.2f g %3.0f %%  %6.2f g %3.0f %%\n", width, "in all",
           weighed * 1e3, fixed * 1e3, percent(fixed, weighed), rinsed * 1e3,
           percent(rinsed, weighed), tub * 1e3, percent(tub, weighed));
    char range[48];
    printf("  fixed in all: about %.0f %%%s\n", 100.0 * f->fixed_share,
           range_text(f->fixed_share_range, 100.0, " %", range, sizeof range));
    if (ice > 1e-6) {
        printf("  %.2f g are still in the ice\n", ice * 1e3);
    }
}

/* Colours that words cannot tell apart are counted together. */
static void print_colours(const thaw_preview_figures *f)
{
    char words[sizeof f->palette / sizeof f->palette[0]][48];
    double shares[sizeof f->palette / sizeof f->palette[0]];
    int n = 0;
    for (int i = 0; i < f->n_palette; i++) {
        int same = 0;
        thaw_say_colour(f->palette[i].lab, words[n], sizeof words[n]);
        while (strcmp(words[same], words[n]) != 0) {
            same++;
        }
        shares[same] = (same < n ? shares[same] : 0.0) + f->palette[i].share;
        n += same == n;
    }
    printf("Colours      ");
    for (int i = 0; i < n; i++) { /* the largest that is left */
        int largest = 0;
        for (int k = 1; k < n; k++) {
            largest = shares[k] > shares[largest] ? k : largest;
        }
        printf("%s%s %.0f %%", i == 0 ? "" : i == 3 ? ",\n             " : ", ", words[largest], 100.0 * shares[largest]);
        shares[largest] = -1.0;
    }
    printf("\n");
}

static void print_look(const thaw_preview_figures *f)
{
    char first[48], second[48];
    if (f->white_share < 0.005 && !(f->white_range[1] >= 0.005)) {
        printf("Left white   under 1 %% of the cloth looks undyed; pale places are not counted\n");
    } else {
        printf("Left white   %.0f %%%s of the cloth looks undyed; pale places are not counted\n", 100.0 * f->white_share,
               range_text(f->white_range, 100.0, " %", first, sizeof first));
    }
    print_colours(f);
    printf("Grain        %.0f mm%s across, %.0f mm%s along\n", f->grain_weft_m * 1e3,
           range_text(f->grain_weft_range_m, 1e3, "", first, sizeof first), f->grain_warp_m * 1e3,
           range_text(f->grain_warp_range_m, 1e3, "", second, sizeof second));
    if (f->n_dyes > 1) {
        printf("Bleed        %.0f %%%s of the cloth shows two or more colours over each other\n", 100.0 * f->bleed_share,
               range_text(f->bleed_range, 100.0, " %", first, sizeof first));
    }
    printf("Dries        %.0f L* %s than it looks wet (L* runs from 0, black, to 100, white)\n",
           fabs(f->wet_dry_lightness), f->wet_dry_lightness >= 0.0 ? "paler" : "darker");
}

/* Where visible dye ends on the hanging cloth. */
static void print_climb(const thaw_preview_figures *f)
{
    if (!(f->hang_m > 0.0) || f->n_dyes == 0) {
        return;
    }
    char range[48];
    printf("Climbs       %.0f cm%s beyond the ice, of %.0f cm that hang;\n             over the width from %.0f to %.0f cm\n",
           100.0 * f->climb_m[1], range_text(f->climb_range_m, 100.0, "", range, sizeof range), 100.0 * f->hang_m,
           100.0 * f->climb_m[0], 100.0 * f->climb_m[2]);
    for (int i = 0; f->n_dyes > 1 && i < f->n_dyes; i++) {
        const double *m = f->dyes[i].climb_m;
        printf("             %-*s %3.0f cm (%.0f to %.0f)\n", name_width(f) + extra_bytes(f->dyes[i].name), f->dyes[i].name, 100.0 * m[1], 100.0 * m[0],
               100.0 * m[2]);
    }
    printf("             %.0f g of water dripped from the free end\n", 1000.0 * f->free_end_kg);
}

static void print_panels(const thaw_preview_figures *f)
{
    for (int i = 0; i < f->n_panels; i++) {
        const thaw_panel_account *p = &f->panels[i];
        printf("%-13s%-14s %.0f g of cloth, %.0f mg of dye fixed, %.0f %% white", i == 0 ? "Panels" : "", p->name,
               1e3 * p->cloth_kg, 1e6 * p->fixed_kg, 100.0 * p->white_share);
        if (isfinite(p->climb_m[1])) {
            printf(", climbs %.0f cm", 100.0 * p->climb_m[1]);
        }
        printf("\n");
    }
}

static void print_files(const char *dir, bool of_garment)
{
    size_t n = strlen(dir);
    printf("\nWritten to %s%s\n", dir, n > 0 && dir[n - 1] == '/' ? "" : "/");
    for (int i = 0; i < thaw_preview_file_count(); i++) {
        printf("  %-20s %s\n", thaw_preview_file_name(i), thaw_preview_file_meaning(i));
    }
    if (of_garment) {
        printf("  %-20s %s\n", thaw_preview_panels_name(), thaw_preview_panels_meaning());
    }
}

/* The one change that promises most, by the figures. */
static const char *next_step(const thaw_preview_figures *f)
{
    double weighed = 0.0, rinsed = 0.0, tub = 0.0;
    for (int i = 0; i < f->n_dyes; i++) {
        weighed += f->dyes[i].weighed_kg;
        tub += f->dyes[i].tub_kg;
        rinsed += f->dyes[i].rinsed_kg + f->dyes[i].tub_kg;
    }
    if (f->ice_kg > 0.0 && !f->melted) {
        return "leave it longer, or in a warmer room, or use less ice";
    }
    if (f->n_dyes > 0 && f->dried_share > DRIED_MUCH) {
        return "cover it with film (`room: { cover: film }`): it dries before the dye has bonded";
    }
    if (f->ice_kg > 0.0 && tub > CARRIED_MUCH * weighed) {
        return "use less ice: the melt carries most of the dye off to the tub before it bonds";
    }
    if (f->n_dyes > 0 && f->ready_s > f->leave_s) {
        return "leave it longer: the dye is still fixing";
    }
    if (f->n_dyes > 0 && f->white_share > 0.4) {
        return "scrunch it less (a larger `to`) or spread the ice wider for less white";
    }
    if (rinsed > 0.65 * weighed && weighed > 0.0) {
        return "use less powder: most of this ends in the drain";
    }
    if (f->n_dyes > 0 && f->white_share < 0.02) {
        return "less ice or a tighter scrunch, if some white is wanted";
    }
    return "another --seed: what stays the same is the scenario, what changes is chance";
}

static void print_cautions(const thaw_preview_figures *f)
{
    printf("\nCautions\n");
    if (f->n_dyes > 0) {
        printf("  Dye powder harms the lungs: respirator mask and gloves while any is dry, no "
               "draught,\n  and nothing from the kitchen that goes back there.\n");
    }
    printf("  Soda ash irritates: gloves and goggles. The rinse is hot: mind your hands.\n"
           "  Waste goes to the drain well diluted, where local rules allow it.\n"
           "  The supplier's safety data sheet decides.\n");
}

/* What was learnt is never applied silently. */
static void print_kitchen(const thaw_scenario *scenario)
{
    char text[200];
    if (thaw_scenario_kitchen(scenario, text, sizeof text) > 0) {
        printf("Kitchen      applied: %s\n", text);
    }
}

void screen_print(const thaw_preview_figures *f, const thaw_scenario *scenario, const char *dir)
{
    printf("%s\n", thaw_scenario_title(scenario));
    printf("             %.0f g of cloth, %.2f kg of ice, %.2f g of powder (%.1f %% on weight of "
           "goods)\n",
           f->cloth_kg * 1e3, f->ice_kg, f->dye_kg * 1e3, 100.0 * f->depth_owg);
    printf("             bundle %.0f x %.0f cm, %.1f layers in the mean\n",
           f->bundle_width_m * 100.0, f->bundle_length_m * 100.0, f->layers_mean);
    print_kitchen(scenario);
    print_melt(f);
    print_leave(f);
    print_look(f);
    print_climb(f);
    print_panels(f);
    print_dye(f);
    print_files(dir, f->n_panels > 0);
    if (f->n_members > 0) {
        printf("\nDoubt        one roll of the dice; ranges in brackets hold four times out of five: from %d runs with\n"
               "             other luck, room, ice, cloth and dye, as far off as they may be (docs/figures.md)\n",
               f->n_members);
    } else {
        printf("\nDoubt        one roll of the dice; cloth and dye are known to a factor of 1.5 to 3; without\n"
               "             --without-ranges each number comes with its range\n");
    }
    printf("Try next     %s\n", next_step(f));
    print_cautions(f);
}

static void print_heat(const thaw_preview_figures *f)
{
    printf("  heat, kJ   from air %.1f, condensation %.1f, radiation %.1f, below %.1f;"
           " melting %.1f, run-off %.1f\n             closes to %.1e\n",
           f->heat_air_j / 1e3, f->heat_condensation_j / 1e3, f->heat_radiation_j / 1e3,
           f->heat_below_j / 1e3, f->heat_melt_j / 1e3, f->heat_runoff_j / 1e3, f->heat_error);
}

void screen_print_ledgers(const thaw_preview_figures *f)
{
    printf("\nLedgers (relative closing error), %ld steps\n", f->steps);
    printf("  water, g   start %.1f + melt %.1f + condensed %.1f = evaporated %.1f + tub %.1f + "
           "end %.1f\n             closes to %.1e\n",
           f->water_start_kg * 1e3, f->water_melt_kg * 1e3, f->water_condensed_kg * 1e3,
           f->water_evaporated_kg * 1e3, f->water_tub_kg * 1e3, f->water_end_kg * 1e3,
           f->water_error);
    print_heat(f);
    printf("  soda, g    start %.2f = tub %.2f + end %.2f; closes to %.1e\n",
           f->soda_start_kg * 1e3, f->soda_tub_kg * 1e3, f->soda_end_kg * 1e3, f->soda_error);
    for (int i = 0; i < f->n_dyes; i++) {
        const thaw_dye_account *d = &f->dyes[i];
        printf("  dye, g     %s (%s): weighed %.4f = fixed %.4f + rinsed %.4f + tub %.4f + ice "
               "%.4f; closes to %.1e\n",
               d->name, d->generic, d->weighed_kg * 1e3, d->fixed_kg * 1e3, d->rinsed_kg * 1e3,
               d->tub_kg * 1e3, d->ice_kg * 1e3, d->ledger_error);
    }
}
