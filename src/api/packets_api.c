/* Sizes and prices of packets, as people write them. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/error.h"
#include "base/quantity.h"
#include "thawprint/supplies.h"

#define LEAST_KG 1e-3
#define MOST_KG 25.0
#define MOST_PRICE 1e6

/* Blanks at both ends go. */
static char *trimmed(char *text)
{
    text += strspn(text, " \t");
    for (size_t n = strlen(text); n > 0 && (text[n - 1] == ' ' || text[n - 1] == '\t'); n--) {
        text[n - 1] = '\0';
    }
    return text;
}

static thaw_status read_one(const thaw_units *units, char *text, thaw_packet *out, thaw_error *err)
{
    char why[200] = "";
    char *equals = strchr(text, '=');
    thaw_packet packet = {0.0, NAN};
    if (equals) {
        *equals = '\0';
        const char *price = trimmed(equals + 1);
        const char *rest = thaw_number_parse(price, &packet.price, why, sizeof why);
        if (!rest || *rest != '\0' || !(packet.price >= 0.0 && packet.price <= MOST_PRICE)) {
            return thaw_fail(err, THAW_ERR_ARGUMENT, "packets: `%.40s` is no price; a plain number is wanted, as 3.20", price);
        }
    }
    const char *size = trimmed(text);
    if (!thaw_quantity_parse(units, THAW_MASS, size, &packet.mass_kg, why, sizeof why)) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "packets: `%.40s`: %s; sizes are wanted, as \"10 g, 25 g = 6.90\"", size, why);
    }
    if (!(packet.mass_kg >= LEAST_KG && packet.mass_kg <= MOST_KG)) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "packets: `%.40s`: packets of 1 g to 25 kg are known", size);
    }
    *out = packet;
    return THAW_OK;
}

thaw_status thaw_packets_read(const char *text, thaw_packet out[THAW_SUPPLIES_PACKETS], int *n, thaw_error *err)
{
    char copy[256];
    thaw_packet packets[THAW_SUPPLIES_PACKETS];
    thaw_units *units = NULL;
    int count = 0;
    if (strlen(text) >= sizeof copy) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "packets: longer than %zu signs", sizeof copy - 1);
    }
    snprintf(copy, sizeof copy, "%s", text);
    thaw_status status = thaw_units_create(&units, err);
    for (char *at = copy, *next; status == THAW_OK && at; at = next) {
        next = strchr(at, ',');
        if (next) {
            *next++ = '\0';
        }
        if (count == THAW_SUPPLIES_PACKETS) {
            status = thaw_fail(err, THAW_ERR_ARGUMENT, "packets: more than %d sizes", THAW_SUPPLIES_PACKETS);
        } else {
            status = read_one(units, at, &packets[count], err);
            count++;
        }
    }
    thaw_units_destroy(units);
    if (status == THAW_OK) {
        memcpy(out, packets, (size_t)count * sizeof *packets);
        *n = count;
    }
    return status;
}
