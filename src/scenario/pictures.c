#include "scenario/pictures.h"

#include <stdio.h>
#include <string.h>

#include "base/alloc.h"
#include "base/file.h"

#define LARGEST_FILE ((size_t)64 << 20)
/* A pixel may stray so far from the paint it belongs to, of the 441 from black to white. Estimate: takes in the soft
 * edges of a brush and what a JPEG did to the colours before. */
#define STRAYS_MOST 80L

/* The path of `name` as seen from the scenario's folder. */
static char *join(thaw_pictures *p, const char *scenario_path, const char *name)
{
    const char *slash = name[0] == '/' ? NULL : strrchr(scenario_path, '/');
    const size_t folder = slash ? (size_t)(slash - scenario_path) + 1 : 0;
    char *path = thaw_allocate(folder + strlen(name) + 1, 1, NULL);
    if (!path) {
        p->starved = true;
        return NULL;
    }
    memcpy(path, scenario_path, folder);
    strcpy(path + folder, name);
    return path;
}

static uint32_t sum_of(const char *bytes, size_t n)
{
    uint32_t sum = 0x811c9dc5u; /* FNV-1a, 32 bits */
    for (size_t i = 0; i < n; i++) {
        sum = (sum ^ (unsigned char)bytes[i]) * 0x01000193u;
    }
    return sum;
}

/* The results lie in the same folder as a copy of the picture. */
static bool is_result(const char *name)
{
    static const char *const results[] = {
        "cloth-dry.png", "cloth-wet.png", "bundle.png", "fold-map.png", "panels.png", "melt-curve.csv", "figures.json", "scenario.yaml",
        "typical.png", "others.png", "chance-of-white.png", "chance-of-colours.png", "chances.csv", "plan.txt", "members", "melt.webp", "melt-strip.png", "melt-frames.csv",
        "notebook.html", "record.json", "record-photo.png", "border.png", "border.json", "border.yaml", "supplies.json", "supplies.yaml", "lay.png",
        "pieces.json", "pieces.yaml"};
    bool same = false;
    for (size_t i = 0; i < sizeof results / sizeof *results; i++) {
        same = same || strcmp(name, results[i]) == 0;
    }
    return same;
}

static bool name_fits(const thaw_pictures *p, const char *base, thaw_place place, thaw_faults *faults)
{
    if (base[0] == '\0' || strlen(base) >= sizeof p->files[0].name || strpbrk(base, "\"\\{}[],#&*!|>'%@`")) {
        thaw_faults_add(faults, place, "use letters, digits, points and hyphens, at most 63", "picture: `%.60s` is no name for one",
                        base);
        return false;
    }
    if (is_result(base)) {
        thaw_faults_add(faults, place, "give the picture another name", "picture: `%s` is the name of a result", base);
        return false;
    }
    for (int i = 0; i < p->n; i++) {
        if (strcmp(p->files[i].name, base) == 0) {
            thaw_faults_add(faults, place, "give one of the two another name",
                            "picture: two files in different folders are called `%s`", base);
            return false;
        }
    }
    return true;
}

/* Index of the file, read if it is new; -1 and a fault. Takes over path. */
static int read_file(thaw_pictures *p, char *path, const char *base, thaw_place place, thaw_faults *faults)
{
    thaw_picture_file *file = &p->files[p->n];
    thaw_error err = {0};
    bool whole = false;
    if (p->n == THAW_MAX_PICTURES) {
        thaw_faults_add(faults, place, NULL, "picture: more than %d different ones", THAW_MAX_PICTURES);
        return -1;
    }
    if (!name_fits(p, base, place, faults)) {
        return -1;
    }
    if (thaw_file_look(path) == THAW_FILE_MISSING || thaw_file_look(path) == THAW_FILE_FOLDER) {
        thaw_faults_add(faults, place, "the path starts from the folder of the scenario", "picture: there is no file `%.200s`",
                        path);
        return -1;
    }
    thaw_status status = thaw_file_read(path, LARGEST_FILE, &file->bytes, &file->n, &whole, &err);
    if (status == THAW_OK && !whole) {
        thaw_faults_add(faults, place, NULL, "picture: `%.200s` is larger than 64 MiB", path);
        thaw_release(file->bytes);
        file->bytes = NULL;
        return -1;
    }
    if (status == THAW_OK) {
        status = thaw_picture_decode(file->bytes, file->n, &file->picture, &err);
    }
    if (status != THAW_OK) {
        p->starved = p->starved || status == THAW_ERR_MEMORY;
        thaw_faults_add(faults, place, "save it anew as PNG", "picture: `%.120s`: %.120s", path, err.text);
        thaw_release(file->bytes);
        file->bytes = NULL;
        return -1;
    }
    strcpy(file->name, base);
    file->path = path;
    file->sum = sum_of(file->bytes, file->n);
    return p->n++;
}

static int find_file(thaw_pictures *p, char *path, const char *base, thaw_place place, thaw_faults *faults)
{
    for (int i = 0; i < p->n; i++) {
        if (strcmp(p->files[i].path, path) == 0) {
            thaw_release(path);
            return i;
        }
    }
    const int at = read_file(p, path, base, place, faults);
    if (at < 0) {
        thaw_release(path);
    }
    return at;
}

bool thaw_pictures_use(thaw_pictures *p, const char *scenario_path, const char *name, thaw_place place, thaw_area *area,
                       thaw_faults *faults)
{
    const char *slash = strrchr(name, '/');
    char *path = join(p, scenario_path, name);
    const int file = path ? find_file(p, path, slash ? slash + 1 : name, place, faults) : -1;
    if (file < 0 || p->n_users == THAW_MAX_PICTURE_USERS) {
        return false;
    }
    strcpy(area->picture, p->files[file].name);
    area->picture_sum = p->files[file].sum;
    p->users[p->n_users++] = (thaw_picture_user){area, place, file};
    return true;
}

static int from_hex(const char *paint, int i)
{
    unsigned value = 0;
    sscanf(paint + 2 * i, "%2x", &value);
    return (int)value;
}

/* Squared distance of a pixel over white from a colour. */
static long distance(const uint8_t *rgba, const int colour[3])
{
    long sum = 0;
    for (int i = 0; i < 3; i++) {
        const long seen = (rgba[i] * rgba[3] + 255 * (255 - rgba[3])) / 255;
        sum += (seen - colour[i]) * (seen - colour[i]);
    }
    return sum;
}

/* Colours of which a pixel takes the nearest: of user u first, then white, then the other paints of the file. */
static int list_paints(const thaw_pictures *p, int u, int colours[][3])
{
    int n = 0;
    for (int other = -2; other < p->n_users; other++) {
        const char *paint = other == -2 ? p->users[u].area->paint : (other == -1 ? "ffffff" : p->users[other].area->paint);
        const bool mine = other < 0 || (p->users[other].file == p->users[u].file && paint[0] &&
                                        strcmp(paint, p->users[u].area->paint) != 0);
        for (int i = 0; mine && i < 3; i++) {
            colours[n][i] = from_hex(paint, i);
        }
        n += mine;
    }
    return n;
}

/* How dark a pixel over white is, 0 .. 255: Rec. 709 weights on the values as painted. */
static uint8_t darkness(const uint8_t *rgba)
{
    const long light = (2126L * rgba[0] + 7152L * rgba[1] + 722L * rgba[2]) / 10000;
    return (uint8_t)((255 - light) * rgba[3] / 255);
}

static void fill_mask(const thaw_pictures *p, int u, thaw_mask *mask)
{
    static const int most = THAW_MAX_PICTURE_USERS + 2;
    int colours[THAW_MAX_PICTURE_USERS + 2][3];
    const thaw_picture *picture = &p->files[p->users[u].file].picture;
    const bool grey = p->users[u].area->paint[0] == '\0';
    const int n = grey ? 0 : list_paints(p, u, colours);
    for (size_t i = 0; i < (size_t)mask->width * (size_t)mask->height; i++) {
        const uint8_t *pixel = picture->rgba + 4 * i;
        bool nearest = grey || distance(pixel, colours[0]) < STRAYS_MOST * STRAYS_MOST;
        for (int c = 1; c < n && c < most && nearest; c++) {
            nearest = distance(pixel, colours[0]) < distance(pixel, colours[c]);
        }
        mask->amount[i] = grey ? darkness(pixel) : (nearest ? 255 : 0);
    }
}

static bool is_empty(const thaw_mask *mask)
{
    bool empty = true;
    for (size_t i = 0; i < (size_t)mask->width * (size_t)mask->height; i++) {
        empty = empty && mask->amount[i] == 0;
    }
    return empty;
}

void thaw_pictures_finish(thaw_pictures *p, thaw_faults *faults)
{
    for (int u = 0; u < p->n_users; u++) {
        const thaw_picture *picture = &p->files[p->users[u].file].picture;
        thaw_mask *mask = &p->masks[u];
        *mask = (thaw_mask){picture->width, picture->height, NULL};
        mask->amount = thaw_allocate((size_t)mask->width * (size_t)mask->height, 1, NULL);
        if (!mask->amount) {
            p->starved = true;
            return;
        }
        fill_mask(p, u, mask);
        p->users[u].area->mask = mask;
        if (is_empty(mask)) {
            const char *paint = p->users[u].area->paint;
            thaw_faults_add(faults, p->users[u].place, paint[0] ? "look up the colour in the paint program" : "paint with black or grey",
                            "picture: nothing in `%s` is painted%s%s", p->users[u].area->picture,
                            paint[0] ? " with " : "", paint);
        }
    }
    for (int i = 0; i < p->n; i++) { /* only the masks and the bytes are wanted from here on */
        thaw_release(p->files[i].picture.rgba);
        p->files[i].picture.rgba = NULL;
    }
}

void thaw_pictures_release(thaw_pictures *p)
{
    for (int i = 0; i < p->n; i++) {
        thaw_release(p->files[i].path);
        thaw_release(p->files[i].bytes);
        thaw_release(p->files[i].picture.rgba);
    }
    for (int u = 0; u < THAW_MAX_PICTURE_USERS; u++) {
        thaw_release(p->masks[u].amount);
    }
    *p = (thaw_pictures){0};
}
