#include "scenario/kitchen.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/words.h"
#include "scenario/own.h"

#define MOST_SPREAD 100.0

enum { KIND, CONDUCTIVITY, SPREAD, N_KEYS };

static void read_cloth(const thaw_reader *reader, const yaml_node_t *node, thaw_kitchen *kitchen)
{
    static const char *const keys[N_KEYS] = {"kind", "conductivity", "spread"};
    yaml_node_t *values[N_KEYS];
    if (!thaw_reader_map(reader, node, "kitchen.cloths", keys, N_KEYS, values)) {
        return;
    }
    if (!values[KIND] || !values[CONDUCTIVITY]) {
        thaw_reader_missing(reader, thaw_reader_place(node), values[KIND] ? "kitchen.cloths.conductivity" : "kitchen.cloths.kind",
                            values[KIND] ? "conductivity: 0.8" : "kind: cotton twill");
        return;
    }
    const char *name = thaw_reader_text(reader, values[KIND], "kitchen.cloths.kind");
    double conductivity = 1.0, spread = 0.0;
    bool fine = thaw_own_number(reader, values[CONDUCTIVITY], "kitchen.cloths.conductivity", THAW_KITCHEN_CLOTH_LEAST,
                                THAW_KITCHEN_CLOTH_MOST, "0.1 to 10, times the conductivity of the cloth", &conductivity);
    if (values[SPREAD]) {
        fine = thaw_own_number(reader, values[SPREAD], "kitchen.cloths.spread", 1.0, MOST_SPREAD, "1 to 100", &spread) && fine;
    }
    for (int i = 0; name && i < kitchen->n_cloths; i++) {
        if (thaw_words_same(name, kitchen->cloths[i].name)) {
            thaw_faults_add(reader->faults, thaw_reader_place(values[KIND]), "keep one of the two", "kitchen.cloths: `%.60s` is given twice",
                            name);
            return;
        }
    }
    if (name && strlen(name) >= THAW_OWN_NAME) {
        thaw_faults_add(reader->faults, thaw_reader_place(values[KIND]), NULL, "kitchen.cloths.kind: `%.60s` is too long for a name", name);
    } else if (name && fine) {
        snprintf(kitchen->cloths[kitchen->n_cloths].name, THAW_OWN_NAME, "%s", name);
        kitchen->cloths[kitchen->n_cloths].conductivity = conductivity;
        kitchen->cloths[kitchen->n_cloths++].spread = spread;
    }
}

void thaw_kitchen_read(const thaw_reader *reader, const yaml_node_t *node, thaw_shelf *shelf)
{
    static const char *const keys[] = {"heat", "cloths"};
    yaml_node_t *values[2], *items[THAW_KITCHEN_CLOTHS];
    if (!thaw_reader_map(reader, node, "kitchen", keys, 2, values)) {
        return;
    }
    shelf->kitchen = (thaw_kitchen){.is_set = true, .heat = 1.0};
    if (values[0]) {
        thaw_own_number(reader, values[0], "kitchen.heat", THAW_KITCHEN_HEAT_LEAST, THAW_KITCHEN_HEAT_MOST,
                        "0.5 to 2, times the exchange of heat with the room", &shelf->kitchen.heat);
    }
    if (values[1]) {
        const int n = thaw_reader_list(reader, values[1], "kitchen.cloths", THAW_KITCHEN_CLOTHS, items);
        if (n < 0) {
            thaw_faults_add(reader->faults, thaw_reader_place(values[1]), "start each cloth with `- kind: ...`",
                            "kitchen.cloths: a list is wanted here");
        }
        for (int i = 0; i < n; i++) {
            read_cloth(reader, items[i], &shelf->kitchen);
        }
    }
}

const char *thaw_kitchen_cloth(const thaw_scenario *scenario)
{
    const thaw_shelf *shelf = scenario->shelf;
    return shelf->blend.make ? shelf->blend.make->name : scenario->spec.cloth->name;
}

static int find_cloth(const thaw_scenario *scenario)
{
    const thaw_kitchen *kitchen = &scenario->shelf->kitchen;
    for (int i = 0; i < kitchen->n_cloths; i++) {
        if (thaw_words_same(kitchen->cloths[i].name, thaw_kitchen_cloth(scenario))) {
            return i;
        }
    }
    return -1;
}

void thaw_kitchen_apply(thaw_scenario *scenario)
{
    thaw_kitchen *kitchen = &scenario->shelf->kitchen;
    if (!kitchen->is_set || !scenario->spec.cloth) {
        return;
    }
    scenario->spec.heat_ln = log(kitchen->heat);
    const int found = find_cloth(scenario);
    if (found >= 0) {
        kitchen->plain = scenario->spec.cloth;
        kitchen->changed = *scenario->spec.cloth;
        kitchen->changed.conductivity_m_s *= kitchen->cloths[found].conductivity;
        if (kitchen->cloths[found].spread > 0.0) {
            kitchen->changed.conductivity_spread = kitchen->cloths[found].spread;
        }
        scenario->spec.cloth = &kitchen->changed;
    }
}

double thaw_kitchen_conductivity(const thaw_scenario *scenario)
{
    const thaw_kitchen *kitchen = &scenario->shelf->kitchen;
    return kitchen->plain ? kitchen->changed.conductivity_m_s / kitchen->plain->conductivity_m_s : 1.0;
}

static void write_cloth(thaw_writer *w, const thaw_kitchen *kitchen, int i)
{
    thaw_writer_add(w, "    - { kind: %s, conductivity: ", kitchen->cloths[i].name);
    thaw_writer_number(w, kitchen->cloths[i].conductivity);
    if (kitchen->cloths[i].spread > 0.0) {
        thaw_writer_add(w, ", spread: ");
        thaw_writer_number(w, kitchen->cloths[i].spread);
    }
    thaw_writer_add(w, " }\n");
}

static void write_heat(thaw_writer *w, const thaw_kitchen *kitchen)
{
    thaw_writer_add(w, "kitchen:\n  heat: ");
    thaw_writer_number(w, kitchen->heat);
    thaw_writer_add(w, "\n");
}

void thaw_kitchen_write(thaw_writer *w, const thaw_scenario *scenario)
{
    const thaw_kitchen *kitchen = &scenario->shelf->kitchen;
    if (!kitchen->is_set) {
        return;
    }
    write_heat(w, kitchen);
    if (kitchen->plain) {
        thaw_writer_add(w, "  cloths:\n");
        write_cloth(w, kitchen, find_cloth(scenario));
    }
}

void thaw_kitchen_write_all(thaw_writer *w, const thaw_kitchen *kitchen)
{
    write_heat(w, kitchen);
    thaw_writer_add(w, kitchen->n_cloths > 0 ? "  cloths:\n" : "");
    for (int i = 0; i < kitchen->n_cloths; i++) {
        write_cloth(w, kitchen, i);
    }
}
