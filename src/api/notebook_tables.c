#include "api/notebook_tables.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "output/page_write.h"
#include "scenario/areas.h"
#include "scenario/sections.h"

#define COVERED 0.95               /* less, and the page says that ice does not cover its place */

/* A row of three cells; rows beyond the table are dropped. */
static void add_row(thaw_page_table *t, const char *head, const char *second, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
static void add_row(thaw_page_table *t, const char *head, const char *second, const char *format, ...)
{
    if (t->n_rows == THAW_TABLE_ROWS) {
        return;
    }
    va_list args;
    snprintf(t->cells[t->n_rows][0], THAW_TABLE_CELL, "%s", head);
    snprintf(t->cells[t->n_rows][1], THAW_TABLE_CELL, "%s", second);
    va_start(args, format);
    vsnprintf(t->cells[t->n_rows][2], THAW_TABLE_CELL, format, args);
    va_end(args);
    t->n_rows++;
}

static const char *say_mass(double kg, char *out, size_t size)
{
    if (kg >= 1.0) {
        snprintf(out, size, "%.2f kg", kg);
    } else if (kg >= 0.1) {
        snprintf(out, size, "%.0f g", 1000.0 * kg);
    } else {
        snprintf(out, size, kg >= 0.01 ? "%.1f g" : "%.2f g", 1000.0 * kg);
    }
    return out;
}

static void say_area(const thaw_scenario *s, const thaw_area *area, char out[120])
{
    char text[2048];
    if (area->shape == THAW_AREA_PICTURE) {
        snprintf(out, 120, area->paint[0] ? "where %s is painted #%s" : "as dark as %s is painted", area->picture, area->paint);
        return;
    }
    thaw_areas_show(s->units, area, text, sizeof text);
    snprintf(out, 120, "%.119s", text);
}

static void add_dyes(const thaw_scenario *s, thaw_page_table *t)
{
    for (int z = 0; z < s->spec.n_dye; z++) {
        const thaw_dye_zone *zone = &s->spec.dye[z];
        char head[96], mass[32], area[120], liquid[64] = "";
        snprintf(head, sizeof head, "Dye powder, %.70s", zone->colour->name);
        say_mass(zone->mass_kg, mass, sizeof mass);
        say_area(s, &zone->area, area);
        if (zone->volume_m3 > 0.0) {
            snprintf(liquid, sizeof liquid, ", stirred into %.0f mL of water", 1e6 * zone->volume_m3);
        }
        add_row(t, head, mass, "%s: %s%s", zone->under_ice ? "under the ice" : "over the ice", area, liquid);
    }
    for (int z = 0; z < s->spec.n_soda; z++) {
        char mass[32], area[120];
        say_mass(s->spec.soda[z].mass_kg, mass, sizeof mass);
        say_area(s, &s->spec.soda[z].area, area);
        add_row(t, "Soda ash, to sprinkle", mass, "%s: %s", s->spec.soda[z].under_ice ? "under the ice" : "over the ice", area);
    }
}

static void add_ice(const thaw_scenario *s, thaw_page_table *t)
{
    for (int z = 0; z < s->spec.n_ice; z++) {
        const thaw_ice_zone *zone = &s->spec.ice[z];
        char head[96], mass[32], area[120], later[48] = "";
        snprintf(head, sizeof head, "Ice, %.80s", zone->kind->name);
        if (zone->depth_m > 0.0) {
            snprintf(mass, sizeof mass, "%.0f cm deep", 100.0 * zone->depth_m);
        } else {
            say_mass(zone->mass_kg, mass, sizeof mass);
        }
        say_area(s, &zone->area, area);
        if (zone->at_s > 0.0) {
            thaw_page_duration(zone->at_s, later, sizeof later);
        }
        add_row(t, head, mass, "%s; pieces of about %.0f mm%s%s", area, 1000.0 * zone->diameter_m, later[0] ? "; laid on after " : "", later);
    }
}

void thaw_notebook_materials(const thaw_scenario *scenario, const thaw_supplies_figures *supplies, thaw_page_table *out)
{
    const thaw_specification *spec = &scenario->spec;
    char mass[32];
    *out = (thaw_page_table){.caption = "Materials", .n_columns = 3, .heads = {"what", "how much", "where, how"}};
    say_mass(supplies->cloth_kg, mass, sizeof mass);
    add_row(out, "Cloth", mass, "%.60s, %.0f x %.0f cm, weighed dry", spec->cloth->name, 100.0 * spec->width_m, 100.0 * spec->length_m);
    if (supplies->soda_kg > 0.0) {
        say_mass(supplies->soda_kg, mass, sizeof mass);
        add_row(out, "Soda ash, for the soak", mass, "in %.1f L of water: %.0f g in each litre", 1e3 * supplies->bath_m3,
                supplies->soda_kg_m3);
    }
    add_dyes(scenario, out);
    if (supplies->dye_kg > 0.0) {
        char instead[32], advice[80] = "";
        say_mass(supplies->dye_kg, mass, sizeof mass);
        if (supplies->is_too_much) {
            snprintf(advice, sizeof advice, ": more than this cloth can hold; %s is plenty", say_mass(supplies->instead_kg, instead, sizeof instead));
        }
        add_row(out, "All powder", mass, "%.1f %% on weight of goods%s", 100.0 * supplies->on_weight, advice);
    }
    add_ice(scenario, out);
    if (supplies->ice_kg > 0.0) {
        say_mass(supplies->ice_kg, mass, sizeof mass);
        add_row(out, "All ice", mass, "about %.1f L heaped; covers %s%.0f %% of its place on the bundle", 1e3 * supplies->ice_heap_m3,
                supplies->ice_covers < COVERED ? "only " : "", 100.0 * supplies->ice_covers);
    }
}

static void add_later_ice(const thaw_scenario *s, thaw_page_table *t)
{
    double last_s = 0.0;
    for (;;) {
        double next_s = HUGE_VAL;
        char at[48];
        for (int z = 0; z < s->spec.n_ice; z++) {
            if (s->spec.ice[z].at_s > last_s) {
                next_s = fmin(next_s, s->spec.ice[z].at_s);
            }
        }
        if (!isfinite(next_s)) {
            return;
        }
        thaw_page_duration(next_s, at, sizeof at);
        add_row(t, at, "lay on more ice", "what the list of materials has for later");
        last_s = next_s;
    }
}

static void add_ice_gone(const thaw_preview_figures *f, thaw_page_table *t)
{
    char at[64], low[48], high[48], range[120] = "";
    if (!(f->ice_kg > 0.0) || !f->melted) {
        return;
    }
    snprintf(at, sizeof at, "about ");
    thaw_page_about(f->melt_all_s, at + 6, sizeof at - 6);
    if (!isnan(f->melt_all_range_s[0]) && !isnan(f->melt_all_range_s[1])) {
        snprintf(range, sizeof range, "between %s and %s", thaw_page_about(f->melt_all_range_s[0], low, sizeof low),
                 thaw_page_about(f->melt_all_range_s[1], high, sizeof high));
    }
    add_row(t, at, "the last ice is gone", "%s", range);
}

void thaw_notebook_timetable(const thaw_scenario *scenario, const thaw_preview_figures *figures, const thaw_supplies_figures *supplies,
                             thaw_page_table *out)
{
    const thaw_specification *spec = &scenario->spec;
    char rinse[48], wrung[32];
    say_mass(supplies->wrung_kg, wrung, sizeof wrung);
    *out = (thaw_page_table){.caption = "Timetable", .n_columns = 3, .heads = {"when", "what", "how"}};
    if (spec->soda_kg_m3 > 0.0) {
        add_row(out, "before", "soak and wring", "%.0f to %.0f minutes in the soda water; wring (%s) until cloth and water weigh %s%s",
                supplies->soak_least_s / 60.0, supplies->soak_most_s / 60.0, supplies->wring, wrung, spec->starts_dry ? "; let it dry" : "");
    } else {
        add_row(out, "before", "wet and wring", "wring (%s) until cloth and water weigh %s", supplies->wring, wrung);
    }
    add_row(out, "before", spec->n_folds > 0 ? "fold" : "lay out", "the bundle is %.0f x %.0f cm", 100.0 * figures->bundle_width_m,
            100.0 * figures->bundle_length_m);
    add_row(out, "0 min", figures->n_dyes > 0 ? "lay on the ice, then the powder" : "lay on the ice", "%s, room at %.0f degrees Celsius%s",
            thaw_stand_word(spec->vessel.stand), spec->room_k - 273.15, spec->covered ? ", under film" : "");
    add_later_ice(scenario, out);
    add_ice_gone(figures, out);
    thaw_page_duration(figures->leave_s, rinse, sizeof rinse);
    add_row(out, rinse, "rinse", "cold until the water runs nearly clear, then hot with a little detergent; dry");
    if (isfinite(figures->fixed_share_of_end)) {
        out->note = "The rinse stands where the scenario has it; the figures above say when more time brings nothing. By the clock, with "
                    "packets and prices: thawprint supplies.";
    }
}
