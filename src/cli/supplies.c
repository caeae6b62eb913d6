/* thawprint supplies: what to weigh out and when to do what. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include <thawprint/supplies.h>

#include "commands.h"
#include "folder.h"
#include "progress.h"
#include "report.h"

#define ICE_POINT_K 273.15
#define LITRES_PER_GALLON 3.785412  /* US */
#define LB_PER_KG 2.2046226
#define OZ_PER_LB 16.0
#define COVERS 0.9
#define WASTE 0.5
#define SAME 0.7                   /* of what bonds with all of the powder: hardly to be told apart */

/* Quarters, as spoons are marked. */
static const char *spoons(double n, char *out, size_t size)
{
    static const char *const parts[] = {"", "1/4", "1/2", "3/4"};
    const int quarters = (int)floor(4.0 * n + 0.5), whole = quarters / 4;
    if (quarters == 0) {
        snprintf(out, size, "a pinch");
    } else if (whole == 0) {
        snprintf(out, size, "%s", parts[quarters % 4]);
    } else {
        snprintf(out, size, "%d%s%s", whole, quarters % 4 ? " " : "", parts[quarters % 4]);
    }
    return out;
}

static const char *spoon_range(const thaw_supplies_colour *c, char *out, size_t size)
{
    char low[24], high[24];
    spoons(c->spoons_low, low, sizeof low);
    spoons(c->spoons_high, high, sizeof high);
    if (strcmp(low, high) == 0) {
        snprintf(out, size, strcmp(low, "a pinch") == 0 ? "%s" : "%s level tsp", low);
    } else {
        snprintf(out, size, "%s to %s level tsp", low, high);
    }
    return out;
}

/* Two or three digits that mean something. */
static const char *grams(double kg, char *out, size_t size)
{
    const double g = kg * 1e3;
    snprintf(out, size, g < 0.05 ? "%.0f mg" : g < 1.0 ? "%.2f g" : g < 20.0 ? "%.1f g" : "%.0f g", g < 0.05 ? 1e3 * g : g);
    return out;
}

/* Of a forecast, to 10 minutes. */
static const char *forecast(const thaw_supplies_figures *f, double after_ice_s, char *out, size_t size)
{
    thaw_clock_write(&f->start, 600.0 * floor((f->ice_on_s + after_ice_s) / 600.0 + 0.5), out, size);
    return out;
}

static void print_soak(const thaw_supplies_figures *f)
{
    printf("Cloth        %.0f g of %s, dry\n", f->cloth_kg * 1e3, f->cloth);
    if (f->soda_kg > 0.0) {
        printf("Soak         %.1f L (%.2g US gal) of water with %.0f g of soda ash (%.3g g/L, %.2f mol/L), %.0f to %.0f min\n",
               f->bath_m3 * 1e3, f->bath_m3 * 1e3 / LITRES_PER_GALLON, f->soda_kg * 1e3, f->soda_kg_m3, f->soda_mol_m3 * 1e-3, f->soak_least_s / 60.0, f->soak_most_s / 60.0);
        printf("             by cups: %.1f to %.1f to the US gallon; soda ash is light or dense, so weigh it\n", f->cups_low,
               f->cups_high);
    } else {
        printf("Soak         %.1f L of water, %.0f to %.0f min; the file has no soda ash in it\n", f->bath_m3 * 1e3,
               f->soak_least_s / 60.0, f->soak_most_s / 60.0);
    }
    if (f->sprinkled_soda_kg > 0.0) {
        printf("             and %.1f g of soda ash to sprinkle as powder\n", f->sprinkled_soda_kg * 1e3);
    }
    printf("Wring        %s, until cloth and water weigh about %.0f g (pick-up %.0f %%)%s\n", f->wring, f->wrung_kg * 1e3,
           f->pickup_kg_kg * 100.0, f->starts_dry ? ", then let it dry" : "");
}

static void print_packets(const thaw_supplies_figures *f, const thaw_supplies_colour *c)
{
    char text[96] = "";
    for (int p = 0; p < f->n_packets; p++) {
        const size_t n = strlen(text);
        if (c->packets[p] > 0) {
            const double oz = OZ_PER_LB * LB_PER_KG * f->packets[p].mass_kg;
            const bool is_oz = fabs(4.0 * oz - floor(4.0 * oz + 0.5)) < 1e-4; /* whole quarters: it was given so */
            snprintf(text + n, sizeof text - n, is_oz ? "%s%d x %.4g oz" : "%s%d x %.4g g", n ? " + " : "", c->packets[p],
                     is_oz ? oz : f->packets[p].mass_kg * 1e3);
        }
    }
    printf("  %s", text);
    if (!isnan(c->cost)) {
        printf(", %.2f", c->cost);
    }
}

/* The same colours in the same parts, so much less of each. */
static void print_instead(const thaw_supplies_figures *f)
{
    char text[64], mass[24];
    printf("             Weigh %s instead, %.1f %% on weight of goods (1 to 4 %% is usual)", grams(f->instead_kg, mass, sizeof mass),
           100.0 * f->instead_kg / f->cloth_kg);
    for (int i = 0; i < f->n_colours; i++) {
        thaw_supplies_colour less = f->colours[i];
        const double times = f->instead_kg / f->dye_kg;
        less.spoons_low *= times;
        less.spoons_high *= times;
        printf("%s             %-18s %7s  %s", i == 0 ? ":\n" : "\n", less.name, grams(times * less.mass_kg, mass, sizeof mass),
               spoon_range(&less, text, sizeof text));
    }
    printf("\n");
    if (f->half_fixed <= SAME) {
        printf("             That comes out paler than the forecast; less ice and more layers keep more of it in the cloth\n");
    }
}

static void print_less(const thaw_supplies_figures *f)
{
    char half[24];
    if (f->washed_kg > WASTE * f->dye_kg && f->half_fixed > 0.0 && !(f->is_too_much && f->half_fixed <= SAME)) {
        printf("             with half the powder, %s, %.0f %% as much would bond: %s\n", grams(0.5 * f->dye_kg, half, sizeof half),
               100.0 * f->half_fixed, f->half_fixed > SAME ? "use less" : "a paler cloth");
    }
}

static void print_judgement(const thaw_supplies_figures *f)
{
    char all[24], bonds[24], lost[24], most[24];
    printf("             of %s about %s bond and %s would be washed away;\n"
           "             this cloth could bond %s in all, were it dyed through\n",
           grams(f->dye_kg, all, sizeof all), grams(f->fixed_kg, bonds, sizeof bonds), grams(f->washed_kg, lost, sizeof lost),
           grams(f->capacity_kg, most, sizeof most));
    if (f->is_too_much) {
        printf("             TOO MUCH: however it is laid, %s or more of the %s can only go down the drain\n",
               grams(f->dye_kg - f->capacity_kg, lost, sizeof lost), all);
    } else if (f->is_heavy) {
        printf("             heavy: 1 to 4 %% on weight of goods is usual\n");
    }
    print_less(f);
    if (isfinite(f->instead_kg)) {
        print_instead(f);
    } else if (f->is_pale) {
        printf("             LITTLE for so much cloth: under 1 %% is pale where it spreads\n");
    }
}

static void print_powder(const thaw_supplies_figures *f)
{
    char text[64];
    if (f->n_colours == 0) {
        printf("Powder       none\n");
        return;
    }
    printf("Powder       %s, %.1f %% on weight of goods; teaspoons are rough, so weigh it\n", grams(f->dye_kg, text, sizeof text),
           f->on_weight * 100.0);
    for (int i = 0; i < f->n_colours; i++) {
        const thaw_supplies_colour *c = &f->colours[i];
        printf("  %-18s %6.2f g %5.1f %%  %-22s", c->name, c->mass_kg * 1e3, c->on_weight * 100.0,
               spoon_range(c, text, sizeof text));
        if (c->water_m3 > 0.0) {
            printf(" in %.0f mL of water", c->water_m3 * 1e6);
        }
        print_packets(f, c);
        printf(c->part_of[0] ? "  for %s\n" : "\n", c->part_of);
    }
    if (!isnan(f->cost)) {
        printf("  %-18s %.2f\n", "cost of packets", f->cost);
    }
    print_judgement(f);
}

static const char *ice_mass(double kg, char *out, size_t size)
{
    if (kg >= 1.0) {
        snprintf(out, size, "%.2f kg (%.1f lb)", kg, LB_PER_KG * kg);
    } else {
        snprintf(out, size, "%.0f g (%.1f oz)", 1e3 * kg, OZ_PER_LB * LB_PER_KG * kg);
    }
    return out;
}

static void print_ice(const thaw_supplies_figures *f)
{
    char text[48];
    if (f->n_ices == 0) {
        printf("Ice          none\n");
        return;
    }
    for (int i = 0; i < f->n_ices; i++) {
        const thaw_supplies_ice *ice = &f->ices[i];
        printf("%-12s %s of %s: about %.1f L heaped", i == 0 ? "Ice" : "", ice_mass(ice->mass_kg, text, sizeof text), ice->kind,
               ice->heap_m3 * 1e3);
        if (ice->at_s > 0.0) {
            printf(", %.3g h after the first", ice->at_s / 3600.0);
        }
        printf("\n");
    }
    if (f->ice_area_m2 > 0.0) {
        const double spread_m2 = f->ice_area_m2 * f->ice_covers;
        printf("             covers %.0f %% of its place on the bundle (%.2g m2)", 100.0 * f->ice_covers, f->ice_area_m2);
        printf(f->ice_covers >= COVERS ? ", %.0f cm deep\n" : ", %.0f cm deep there: NOT all; more, or smaller pieces\n",
               spread_m2 > 0.0 ? 100.0 * f->ice_heap_m3 / spread_m2 : 0.0);
    }
}

/* What is done when: told in order of time, each by its beginning. */
#define MOST_LINES 48

typedef struct line {
    double at_s;                   /* after the start of the soak */
    char when[112], what[200];
} line;

typedef struct timetable {
    const thaw_supplies_figures *f;
    int n;
    line lines[MOST_LINES];
} timetable;

/* A new line that stands behind those of the same time; to be filled. */
static line *line_at(timetable *t, double at_s)
{
    int at = t->n < MOST_LINES ? t->n++ : t->n - 1;
    for (; at > 0 && t->lines[at - 1].at_s > at_s; at--) {
        t->lines[at] = t->lines[at - 1];
    }
    t->lines[at] = (line){.at_s = at_s};
    return &t->lines[at];
}

/* By the clock, to the minute: what hands do. */
static void add_hands(timetable *t, double at_s, const char *what)
{
    line *l = line_at(t, at_s);
    thaw_clock_write(&t->f->start, at_s, l->when, sizeof l->when);
    snprintf(l->what, sizeof l->what, "%s", what);
}

/* A forecast, so long after the ice. */
static line *add_forecast(timetable *t, double after_ice_s)
{
    line *l = line_at(t, t->f->ice_on_s + after_ice_s);
    forecast(t->f, after_ice_s, l->when, sizeof l->when);
    return l;
}

static void add_span(timetable *t, const thaw_supplies_time *span, const char *what)
{
    const thaw_supplies_figures *f = t->f;
    char low[48], high[48];
    if (isfinite(span->p10) && isfinite(span->p90)) {
        line *l = add_forecast(t, span->p10);
        snprintf(l->when, sizeof l->when, "%s to %s", forecast(f, span->p10, low, sizeof low), forecast(f, span->p90, high, sizeof high));
        snprintf(l->what, sizeof l->what, "%s", what);
    } else if (isfinite(span->p50)) {
        line *l = add_forecast(t, span->p50);
        snprintf(l->when, sizeof l->when, "about %s", forecast(f, span->p50, low, sizeof low));
        snprintf(l->what, sizeof l->what, "%s%s", what, isinf(span->p90) ? "; it may well outlast the hours you leave it" : "");
    } else if (isinf(span->p50)) {
        line *l = add_forecast(t, f->leave_s);
        snprintf(l->when, sizeof l->when, "later");
        snprintf(l->what, sizeof l->what, "%s: NOT within the %.3g h you leave it", what, f->leave_s / 3600.0);
    }
}

static void add_asked(timetable *t)
{
    const thaw_supplies_figures *f = t->f;
    line *l = add_forecast(t, f->leave_s);
    if (isfinite(f->fixed_share_of_end)) {
        snprintf(l->what, sizeof l->what, "the %.3g h of your file are over; %.0f %% of what ever bonds has bonded", f->leave_s / 3600.0,
                 100.0 * f->fixed_share_of_end);
    } else {
        snprintf(l->what, sizeof l->what, "the %.3g h of your file are over", f->leave_s / 3600.0);
    }
}

static void add_best_rinse(timetable *t)
{
    const thaw_supplies_figures *f = t->f;
    char safe[48] = "";
    double at_s = f->rinse_s;
    if (!isfinite(at_s)) {
        at_s = f->n_colours > 0 ? fmax(f->longer_ready_s, f->longer_ice_gone_s) : f->longer_ice_gone_s;
    } else if (isfinite(f->rinse_safe_s) && f->rinse_safe_s > at_s + 600.0) {
        forecast(f, f->rinse_safe_s, safe, sizeof safe);
    }
    if (!isfinite(at_s)) {
        return;
    }
    line *l = add_forecast(t, at_s);
    if (at_s > f->soda_most_s) {
        snprintf(l->what, sizeof l->what, "dye would bond until then, but silk and wool are to be rinsed after %.0f h",
                 f->soda_most_s / 3600.0);
    } else {
        snprintf(l->what, sizeof l->what, "rinse not before, cold and then hot%s%s", *safe ? "; to be sure " : "", safe);
    }
}

static void add_later_ice(timetable *t)
{
    const thaw_supplies_figures *f = t->f;
    for (int i = 0; i < f->n_ices; i++) {
        if (f->ices[i].at_s > 0.0) {
            char note[96], mass[48];
            snprintf(note, sizeof note, "lay on %s of %s more", ice_mass(f->ices[i].mass_kg, mass, sizeof mass), f->ices[i].kind);
            add_hands(t, f->ice_on_s + f->ices[i].at_s, note);
        }
    }
}

/* Whenever the rinse is: the last line. */
static void print_drying(const thaw_supplies_figures *f)
{
    char when[48] = "";
    if (!isfinite(f->dry_s)) {
        printf("  %-24s  wrung and hung up it does not dry in air so damp\n", "");
        return;
    }
    snprintf(when, sizeof when, "%.1f h after the rinse", f->dry_s / 3600.0);
    printf("  %-24s  dry, wrung and hung up in this room (", when);
    printf(isfinite(f->dry_high_s) ? "%.1f to %.1f h)\n" : "at least %.1f h)\n", f->dry_low_s / 3600.0, f->dry_high_s / 3600.0);
}

static void print_timetable(const thaw_supplies_figures *f)
{
    timetable t = {.f = f};
    add_hands(&t, 0.0, "soak");
    add_hands(&t, f->soak_most_s,
              f->starts_dry ? "wring, hang up to dry; then fold, ice, powder" : "wring, fold, lay on ice and powder: half an hour or so");
    add_hands(&t, f->ice_on_s, "ice and dye are on");
    add_later_ice(&t);
    if (f->n_ices > 0) {
        add_span(&t, &f->ice_gone, "the last ice goes");
    }
    if (f->n_colours > 0) {
        add_span(&t, &f->ready, "the dye has bonded 95 % of what it ever will");
    }
    add_best_rinse(&t);
    add_asked(&t);
    printf("\nTimetable%s\n", f->start.is_set ? "" : "    hours:minutes from when you begin; with --start \"Sat 09:00\" by the clock");
    for (int i = 0; i < t.n; i++) {
        printf("  %-24s  %s\n", t.lines[i].when, t.lines[i].what);
    }
    print_drying(f);
}

static double fahrenheit(double k)
{
    return 1.8 * (k - ICE_POINT_K) + 32.0;
}

static void print_colder(const thaw_supplies_figures *f)
{
    char gone[48], ready[48];
    if (!(f->colder_k > 0.0)) {
        return;
    }
    printf("  At %.0f degC (%.0f degF) in place of %.0f (%.0f): ", f->colder_k - ICE_POINT_K, fahrenheit(f->colder_k),
           f->room_k - ICE_POINT_K, fahrenheit(f->room_k));
    if (f->n_ices > 0 && isfinite(f->colder_ice_gone_s)) {
        printf("ice gone about %s, ", forecast(f, f->colder_ice_gone_s, gone, sizeof gone));
    }
    if (isfinite(f->colder_ready_s) && f->colder_ready_s <= f->soda_most_s) {
        printf("rinse not before about %s, ", forecast(f, fmax(f->colder_ready_s, f->colder_ice_gone_s), ready, sizeof ready));
    } else if (f->n_colours > 0 && isinf(f->soda_most_s)) {
        printf("much longer, ");
    }
    printf(isfinite(f->colder_dry_s) ? "dry in %.1f h\n" : "not dry in air so damp\n", f->colder_dry_s / 3600.0);
}

static void print_cautions(const thaw_supplies_figures *f)
{
    printf("\nCautions\n");
    if (f->n_colours > 0) {
        printf("  Dye powder can make you allergic for life when breathed in: mask (FFP2 or better) and gloves while any is dry,\n"
               "  no draught, weigh on damp paper, wipe wet. Not for people with asthma. Nothing goes back to the kitchen.\n");
    }
    printf("  Soda ash irritates eyes, skin and lungs: goggles and gloves. The second rinse is hot: mind your hands.\n"
           "  Waste goes well diluted to the sewer, not to garden or stream, where local rules allow it.\n"
           "  The supplier's safety data sheet and local rules decide.\n");
    if (f->leave_s > f->soda_most_s) {
        printf("  Silk and wool suffer from soda ash: makers say %.0f h at most, and half the soda ash.\n", f->soda_most_s / 3600.0);
    }
}

static void print_screen(const thaw_supplies_figures *f, const thaw_scenario *scenario, const char *dir)
{
    printf("%s\n", thaw_scenario_title(scenario));
    print_soak(f);
    print_powder(f);
    print_ice(f);
    print_timetable(f);
    print_colder(f);
    if (f->n_members > 0) {
        printf("  From .. to: four times out of five, by %d runs with other luck, room, ice, cloth and dye (docs/supplies.md)\n",
               f->n_members);
    }
    print_cautions(f);
    printf("\nWritten to %s\n  supplies.json, supplies.yaml (the scenario with every value)\n", dir);
}

static thaw_status json_of(const void *supplies, char **out, thaw_error *err)
{
    return thaw_supplies_json(supplies, out, err);
}

static int report(const options *given, const thaw_supplies *supplies, const thaw_scenario *scenario, const char *dir)
{
    int result;
    if (!report_short(given, json_of, supplies, dir, &result)) {
        print_screen(thaw_supplies_get_figures(supplies), scenario, dir);
    }
    return result;
}

static int run(const options *given, const thaw_scenario *scenario, thaw_supplies_options *asked)
{
    thaw_error err = {0};
    thaw_supplies *supplies = NULL;
    progress shown;
    progress_begin(&shown, given->quiet);
    asked->progress = progress_report;
    asked->user = &shown;
    thaw_status status = thaw_supplies_run(scenario, asked, &supplies, &err);
    progress_end(&shown);
    if (status == THAW_ERR_CANCELLED || (status == THAW_OK && progress_stopped())) {
        thaw_supplies_destroy(supplies);
        fprintf(stderr, given->chances ? "thawprint: stopped; the chances that are done are kept in %s/members, and the same command goes on\n"
                                       : "thawprint: stopped, nothing written to %s\n", asked->dir);
        return EXIT_STOPPED;
    }
    if (status == THAW_OK) {
        status = thaw_supplies_write(supplies, scenario, asked->dir, &err);
    }
    const int result = status == THAW_OK ? report(given, supplies, scenario, asked->dir) : complain(&err);
    thaw_supplies_destroy(supplies);
    return result;
}

/* What --start and --packets say. */
static bool read_wishes(const options *given, thaw_supplies_options *asked)
{
    thaw_error err = {0};
    thaw_status status = given->start ? thaw_clock_read(given->start, &asked->start, &err) : THAW_OK;
    if (status != THAW_OK) {
        fprintf(stderr, "thawprint: --start %s\n", err.text);
        return false;
    }
    status = given->packets ? thaw_packets_read(given->packets, asked->packets, &asked->n_packets, &err) : THAW_OK;
    if (status != THAW_OK) {
        fprintf(stderr, "thawprint: --%s\n", err.text);
    }
    return status == THAW_OK;
}

int command_supplies(const options *given)
{
    thaw_error err = {0};
    thaw_scenario *scenario = NULL;
    char usual[128];
    thaw_supplies_options asked = {.threads = given->threads, .chances = given->chances, .only_luck = given->only_luck};
    if (given->n_operands != 1) {
        fprintf(stderr, "thawprint: supplies takes one scenario, not %d\n", given->n_operands);
        return EXIT_USAGE;
    }
    if (!read_wishes(given, &asked)) {
        return EXIT_USAGE;
    }
    if (load_scenario(given, NULL, &scenario, &err) != THAW_OK) {
        return complain(&err);
    }
    snprintf(usual, sizeof usual, "out/%s", thaw_scenario_name(scenario));
    asked.dir = given->out_dir ? given->out_dir : usual;
    const int result = folder_try(asked.dir) ? run(given, scenario, &asked) : EXIT_SYSTEM;
    thaw_scenario_destroy(scenario);
    return result;
}
