/* The air round the work, and in what it stands. */
#include <stdio.h>

#include "scenario/sections.h"

/* Below 1 degC the melt would freeze again, which is not computed. */
static const thaw_rule ROOM = {"room.temperature", THAW_TEMPERATURE, 274.15, 318.15, false,
                               "1 degC to 45 degC"};
static const thaw_rule HOUR = {"room.temperature: hour", THAW_TIME, 0.0, 14.0 * 86400.0, false, "0 h to 14 days"};
static const thaw_rule HUMIDITY = {"room.humidity", THAW_SHARE, 0.05, 1.0, false, "5 % to 100 %"};
static const thaw_rule DRAUGHT = {"room.draught", THAW_SPEED, 0.0, 15.0, false, "0 m/s to 15 m/s"};
static const thaw_rule WIND = {"room.wind", THAW_SPEED, 0.0, 15.0, false, "0 m/s to 15 m/s"};
static const thaw_rule CLOUD = {"room.cloud", THAW_SHARE, 0.0, 1.0, false, "0 % to 100 %"};
static const thaw_rule VESSEL_WIDTH = {"set-up.width", THAW_LENGTH, 0.05, 3.0, false, "5 cm to 3 m"};
static const thaw_rule VESSEL_LENGTH = {"set-up.length", THAW_LENGTH, 0.05, 3.0, false, "5 cm to 3 m"};
static const thaw_rule DRAIN = {"set-up.drain", THAW_TIME, 1.0, 14.0 * 86400.0, false, "1 s to 14 days"};

static const struct stand_row {
    const char *word, *remark;
} STANDS[] = {
    [THAW_ON_RACK] = {"rack", "over a tub: melt drips away"},
    [THAW_IN_TUB] = {"tub", "in its own melt, which rises round the cloth"},
    [THAW_IN_COLANDER] = {"colander", "melt drains within minutes"},
    [THAW_IN_BUCKET] = {"bucket", "narrow, with a hole: melt drains within hours"},
};
enum { N_STANDS = sizeof STANDS / sizeof STANDS[0] };

int thaw_stands_count(void)
{
    return N_STANDS;
}

const char *thaw_stand_word(thaw_stand stand)
{
    return STANDS[stand].word;
}

const char *thaw_stands_remark(int i)
{
    return STANDS[i].remark;
}

static thaw_origin given(bool is_given)
{
    return is_given ? THAW_FROM_FILE : THAW_FROM_DEFAULT;
}

/* `- 6 h: 18 degC`. */
static bool read_hour(const thaw_reader *reader, const yaml_node_t *node, thaw_hour *hour)
{
    const yaml_node_pair_t *pair = node->type == YAML_MAPPING_NODE ? node->data.mapping.pairs.start : NULL;
    if (!pair || node->data.mapping.pairs.top - pair != 1) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "write each line like `- 6 h: 18 degC`",
                        "room.temperature: an hour and its temperature are wanted here");
        return false;
    }
    const bool at = thaw_reader_quantity(reader, thaw_reader_node(reader, pair->key), &HOUR, &hour->at_s);
    return thaw_reader_quantity(reader, thaw_reader_node(reader, pair->value), &ROOM, &hour->t_k) && at;
}

static void read_hours(const thaw_reader *reader, const yaml_node_t *node, thaw_specification *spec)
{
    yaml_node_t *items[THAW_MAX_HOURS];
    const int n = thaw_reader_list(reader, node, "room.temperature", THAW_MAX_HOURS, items);
    bool fine = n > 0;
    for (int i = 0; i < n; i++) {
        fine = read_hour(reader, items[i], &spec->hours[i]) && fine;
        if (fine && i > 0 && spec->hours[i].at_s <= spec->hours[i - 1].at_s) {
            thaw_faults_add(reader->faults, thaw_reader_place(items[i]), "put the hours in order",
                            "room.temperature: this hour does not come after the one before");
            fine = false;
        }
    }
    if (fine) {
        spec->n_hours = n;
        spec->room_k = spec->hours[0].t_k;
    }
}

/* A ceiling, or the sky and how much of it is cloud. */
static void read_sky(const thaw_reader *reader, const yaml_node_t *sky, const yaml_node_t *cloud, thaw_scenario *scenario)
{
    static const char *const skies[] = {"none", "open"};
    thaw_specification *spec = &scenario->spec;
    const int found = thaw_reader_word(reader, sky, "room.sky", skies, 2);
    scenario->origins.sky = given(found >= 0);
    spec->outdoors = found == 1;
    thaw_reader_quantity(reader, cloud, &CLOUD, &spec->cloud);
    if (cloud && !spec->outdoors) {
        thaw_faults_add(reader->faults, thaw_reader_place(cloud), "add `sky: open`", "room: `cloud` needs a sky");
    }
}

void thaw_section_room(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario)
{
    enum { TEMPERATURE, DAMP, AIR, OUTSIDE_AIR, COVER, SKY, CLOUDS, N };
    static const char *const keys[N] = {"temperature", "humidity", "draught", "wind", "cover", "sky", "cloud"};
    static const char *const covers[] = {"none", "film"};
    yaml_node_t *values[N];
    thaw_specification *spec = &scenario->spec;
    thaw_origins *origins = &scenario->origins;
    if (!node || !thaw_reader_map(reader, node, "room", keys, N, values)) {
        return;
    }
    if (values[TEMPERATURE] && values[TEMPERATURE]->type == YAML_SEQUENCE_NODE) {
        read_hours(reader, values[TEMPERATURE], spec);
        origins->temperature = THAW_FROM_FILE;
    } else {
        origins->temperature = given(thaw_reader_quantity(reader, values[TEMPERATURE], &ROOM, &spec->room_k));
    }
    origins->humidity = given(thaw_reader_quantity(reader, values[DAMP], &HUMIDITY, &spec->humidity));
    bool wind = thaw_reader_quantity(reader, values[AIR], &DRAUGHT, &spec->draught_m_s);
    wind = thaw_reader_quantity(reader, values[OUTSIDE_AIR], &WIND, &spec->draught_m_s) || wind;
    origins->draught = given(wind);
    if (values[AIR] && values[OUTSIDE_AIR]) {
        thaw_faults_add(reader->faults, thaw_reader_place(values[OUTSIDE_AIR]), "keep one of the two",
                        "room: `draught` and `wind` say the same");
    }
    int cover = thaw_reader_word(reader, values[COVER], "room.cover", covers, 2);
    origins->cover = given(cover >= 0);
    spec->covered = cover == 1;
    read_sky(reader, values[SKY], values[CLOUDS], scenario);
}

static void read_vessel(const thaw_reader *reader, yaml_node_t *wide, yaml_node_t *high, yaml_node_t *drain,
                        thaw_scenario *scenario)
{
    thaw_vessel *v = &scenario->spec.vessel;
    const bool both = thaw_reader_quantity(reader, wide, &VESSEL_WIDTH, &v->width_m) &
                      thaw_reader_quantity(reader, high, &VESSEL_LENGTH, &v->length_m);
    scenario->origins.vessel = given(both);
    scenario->origins.drain = given(thaw_reader_quantity(reader, drain, &DRAIN, &v->drain_s));
    if (!wide != !high) {
        thaw_reader_missing(reader, thaw_reader_place(wide ? wide : high), wide ? "set-up.length" : "set-up.width",
                            wide ? "length: 40 cm" : "width: 40 cm");
    }
    if (v->stand == THAW_ON_RACK && (wide || high || drain)) {
        thaw_faults_add(reader->faults, thaw_reader_place(wide ? wide : (high ? high : drain)), "leave it out",
                        "set-up: on a rack nothing stands round the cloth");
    }
}

void thaw_section_set_up(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario)
{
    enum { STAND, WIDE, HIGH, OUTLET, N };
    static const char *const keys[N] = {"stand", "width", "length", "drain"};
    const char *words[N_STANDS];
    yaml_node_t *values[N] = {NULL};
    for (int i = 0; i < N_STANDS; i++) {
        words[i] = STANDS[i].word;
    }
    if (!node || (node->type != YAML_SCALAR_NODE && !thaw_reader_map(reader, node, "set-up", keys, N, values))) {
        return;
    }
    const int found = thaw_reader_word(reader, node->type == YAML_SCALAR_NODE ? node : values[STAND], "set-up.stand",
                                       words, N_STANDS);
    scenario->origins.stand = given(found >= 0);
    scenario->spec.vessel.stand = found >= 0 ? (thaw_stand)found : THAW_ON_RACK;
    if (node->type != YAML_SCALAR_NODE) {
        read_vessel(reader, values[WIDE], values[HIGH], values[OUTLET], scenario);
    }
}
