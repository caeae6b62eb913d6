/* thawprint border: how far up the cloth the ice may reach. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include <thawprint/border.h>

#include "commands.h"
#include "folder.h"
#include "progress.h"
#include "report.h"

#define USUAL_SURE 0.8
#define LEAST_CHANCES 4
#define MOST_CHANCES 1000
#define CM 100.0

#define CM_PER_INCH 2.54
#define IN (CM / CM_PER_INCH)
#define LB_PER_KG 2.2046226

/* "29.5 cm (11.6 in)". */
static const char *cm(double m, char *out, size_t size)
{
    snprintf(out, size, "%.4g cm (%.1f in)", 0.1 * round(10.0 * CM * m), CM * m / CM_PER_INCH);
    return out;
}

/* ", 2.50 kg (5.5 lb) of ice and 3 g of powder". */
static void print_amounts(const thaw_border_figures *f)
{
    if (f->ice_kg >= 1.0) {
        printf(", %.2f kg (%.1f lb) of ice", f->ice_kg, LB_PER_KG * f->ice_kg);
    } else if (f->ice_kg > 0.0) {
        printf(", %.0f g (%.1f oz) of ice", 1e3 * f->ice_kg, 16.0 * LB_PER_KG * f->ice_kg);
    }
    printf("%s %.3g g of powder\n", f->ice_kg > 0.0 ? " and" : ",", 1e3 * f->dye_kg);
}

static void print_naive(const thaw_border_figures *f)
{
    const double over_cm = CM * (f->naive.p50_m - f->end_m);
    printf("If the ice went up to the wanted end, as one might lay it: dye to %.0f cm (%.0f to %.0f),\n", CM * f->naive.p50_m,
           CM * f->naive.p10_m, CM * f->naive.p90_m);
    if (over_cm >= 0.5) {
        printf("             which is %.0f cm too far in half of the cases\n", over_cm);
    } else {
        printf("             which in half of the cases is no farther than wanted\n");
    }
}

static void print_answer(const thaw_border_figures *f)
{
    char line[48], end[48];
    if (f->is_met) {
        printf("Ice          up to %s from the dyed end, no farther (the runs leave that open by %.0f cm either way)\n",
               cm(f->line_m, line, sizeof line), fmax(1.0, CM * f->doubt_m));
        printf("             the file has it up to %s; ice and powder go with the area:\n             %.2f times those of the file",
               cm(f->file_line_m, line, sizeof line), f->amount);
        print_amounts(f);
    } else {
        printf("CANNOT be met: even with ice up to %s only, the lowest that was tried, the dye is not sure to end at %s\n",
               cm(f->line_m, line, sizeof line), cm(f->end_m, end, sizeof end));
    }
    printf("Dye ends     at %.0f cm or before in %.0f of 100 cases; in half of them by %.0f cm, four in five from %.0f to %.0f cm\n",
           CM * f->ends.sure_m, CM * f->sure, CM * f->ends.p50_m, CM * f->ends.p10_m, CM * f->ends.p90_m);
    printf("             (in inches %.1f; %.1f; %.1f to %.1f)\n", IN * f->ends.sure_m, IN * f->ends.p50_m, IN * f->ends.p10_m,
           IN * f->ends.p90_m);
    printf("             heights are along the cloth from its dyed end, where the tape begins\n");
    print_naive(f);
}

/* The runs say whether it siphons; the path, whether it could. */
static void print_siphon(const thaw_border_figures *f)
{
    const bool is_below = f->free_end_m < 0.0;
    if (f->n_dripping > 0) {
        printf("%-12s in %d of %d runs water dripped from the free end, typically %.0f g, at most %.0f g;\n", is_below ? "SIPHON" : "Drips",
               f->n_dripping, f->n_came_through, 1e3 * f->drip_kg[0], 1e3 * f->drip_kg[1]);
        if (is_below) {
            printf("             it hangs %.0f cm below the rack with the ice, which draws water and dye over the edge:\n"
                   "             keep it above the ice if the border is to stay\n", -CM * f->free_end_m);
        } else {
            printf("             it hangs no lower than the ice, so that is water the cloth could not hold, not a siphon\n");
        }
    } else if (is_below) {
        printf("Siphon       in none of %d runs did water drip from the free end; but it hangs %.0f cm below the rack with the ice,\n"
               "             and cloth wetter or thirstier than these would draw dye over the edge: lay it higher to be sure\n",
               f->n_came_through, -CM * f->free_end_m);
    }
}

/* Rows of hours for each dye: the middle of the runs, and four of five. */
static void print_fronts(const thaw_border_figures *f)
{
    static const int rows[] = {9, 14, 19, THAW_BORDER_TIMES - 1};
    const int first = f->n_fronts > 2 ? 0 : f->n_fronts - 1;
    printf("\nFronts, cm   %-18s", "");
    for (int i = 0; i < 4; i++) {
        printf(" %11.1f h", f->times_s[rows[i]] / 3600.0);
    }
    printf("\n");
    for (int d = first; d < f->n_fronts; d++) {
        const thaw_border_front *front = &f->fronts[d];
        printf("  %s\n  %-16s  if rinsed   ", front->name, "");
        for (int i = 0; i < 4; i++) {
            char text[32];
            snprintf(text, sizeof text, "%.0f (%.0f-%.0f)", CM * front->rinsed_m[1][rows[i]], CM * front->rinsed_m[0][rows[i]],
                     CM * front->rinsed_m[2][rows[i]]);
            printf(" %13s", text);
        }
        printf("\n  %-16s  seen wet    ", "");
        for (int i = 0; i < 4; i++) {
            printf(" %13.0f", CM * front->wet_m[1][rows[i]]);
        }
        printf("\n");
    }
}

static void print_remedies(const thaw_border_figures *f)
{
    int enough = 0;
    printf("\nWhat would help, each run again with that change (ice up to %.4g cm, the same %d runs)\n", CM * f->line_m, f->n);
    for (int i = 0; i < f->n_remedies; i++) {
        const thaw_border_remedy *r = &f->remedies[i];
        printf("  %3.0f -> %3.0f cm %s  %s\n", CM * r->before_m, CM * r->after_m, r->is_enough ? "ENOUGH" : "      ", r->what);
        enough += r->is_enough;
    }
    printf(enough ? "Try next     put a change that is enough into the file and run border again: it finds the line\n"
                  : "Try next     a higher end, or a lower certainty with --sure; or dye this piece without cloth that hangs\n");
}

static void print_screen(const thaw_border_figures *f, const thaw_scenario *scenario, const char *dir)
{
    char end[48];
    printf("%s: dye to end at %s, sure in %.0f of 100 cases\n", thaw_scenario_title(scenario), cm(f->end_m, end, sizeof end),
           CM * f->sure);
    print_answer(f);
    print_siphon(f);
    print_fronts(f);
    if (!f->is_met) {
        print_remedies(f);
    }
    printf("\nDoubt        %d runs with other luck, room, ice, cloth and dye, on coarse cells (docs/border.md). How well cloth\n"
           "             wicks is known to a factor of 1.5 to 4.5: a strip of your own cloth in the same soak tells more\n",
           f->n_came_through);
    printf("Cautions     mask and gloves while any powder is dry; soda ash irritates; the supplier's data sheet decides\n");
    printf("\nWritten to %s\n  border.png   fronts over time with their spread\n  border.json  every figure\n"
           "  border.yaml  the scenario with this ice line; preview it\n", dir);
}

static thaw_status json_of(const void *border, char **out, thaw_error *err)
{
    return thaw_border_json(border, out, err);
}

static int report(const options *given, const thaw_border *border, const thaw_scenario *scenario, const char *dir)
{
    const thaw_border_figures *f = thaw_border_get_figures(border);
    int result;
    if (!report_short(given, json_of, border, dir, &result)) {
        print_screen(f, scenario, dir);
    }
    return result == EXIT_DONE && !f->is_met ? EXIT_NOT_MET : result;
}

static int run(const options *given, const thaw_scenario *scenario, thaw_border_options *asked, const char *dir)
{
    thaw_error err = {0};
    thaw_border *border = NULL;
    progress shown;
    progress_begin(&shown, given->quiet);
    asked->progress = progress_report;
    asked->user = &shown;
    thaw_status status = thaw_border_run(scenario, asked, &border, &err);
    progress_end(&shown);
    if (status == THAW_ERR_CANCELLED || (status == THAW_OK && progress_stopped())) {
        thaw_border_destroy(border);
        fprintf(stderr, "thawprint: stopped, nothing written\n");
        return EXIT_STOPPED;
    }
    if (status == THAW_OK) {
        status = thaw_border_write(border, scenario, dir, &err);
    }
    const int result = status == THAW_OK ? report(given, border, scenario, dir) : complain(&err);
    thaw_border_destroy(border);
    return result;
}

static bool read_wishes(const options *given, thaw_border_options *asked)
{
    thaw_error err = {0};
    if (given->n_operands != 1) {
        fprintf(stderr, "thawprint: border takes one scenario, not %d\n", given->n_operands);
        return false;
    }
    if (!given->end) {
        fprintf(stderr, "thawprint: border wants to know where the dye is to end: --end \"40 cm\"\n");
        return false;
    }
    if (given->chances != 0 && (given->chances < LEAST_CHANCES || given->chances > MOST_CHANCES)) {
        fprintf(stderr, "thawprint: --chances `%d`: border takes %d to %d\n", given->chances, LEAST_CHANCES, MOST_CHANCES);
        return false;
    }
    if (thaw_border_read_end(given->end, &asked->end_m, &err) != THAW_OK ||
        (given->sure && thaw_border_read_sure(given->sure, &asked->sure, &err) != THAW_OK)) {
        fprintf(stderr, "thawprint: --%s\n", err.text);
        return false;
    }
    return true;
}

int command_border(const options *given)
{
    thaw_error err = {0};
    thaw_scenario *scenario = NULL;
    char usual[128];
    thaw_border_options asked = {.sure = USUAL_SURE, .threads = given->threads, .chances = given->chances};
    if (!read_wishes(given, &asked)) {
        return EXIT_USAGE;
    }
    if (load_scenario(given, NULL, &scenario, &err) != THAW_OK) {
        return complain(&err);
    }
    snprintf(usual, sizeof usual, "out/%s", thaw_scenario_name(scenario));
    const char *dir = given->out_dir ? given->out_dir : usual;
    const int result = folder_try(dir) ? run(given, scenario, &asked, dir) : EXIT_SYSTEM;
    thaw_scenario_destroy(scenario);
    return result;
}
