/* Silk and wool against cellulose, as soda ash is washed out of them.
 * Cellulose bonds through ionised hydroxyls, which grow with OH-, and holds dye only as far as salt screens its charge.
 * Protein bonds through phenol (tyrosine) and amino (lysine) groups. They are free from a pH of about 10 on, so more soda
 * than a little changes nothing, and a few, histidine and ends of chains, are free in neutral water too. Where the free
 * groups take up protons again they draw dye, with or without salt.
 *   OH- (x, mmol/L) of soda (C) in melt that brings bicarbonate (b):   x (b + x) = K (C - x)
 *   free = x / (x + x_half), charged = 1 - free
 *   bonding:  ((1 - e) free + e) over the same at 20 g/L, without the share of the activation energy that is OH-'s
 *   sorption: (salt + h charged) over the same at 20 g/L, salt as on cellulose.
 * No temperature in x / x_half: from 20 to 0 C it gains 4/10 on phenol and loses 2/10 on amines (heats of ionisation 24
 * and 45 kJ/mol, from memory).
 *
 *   x_half  0.11 mmol/L     computed: pK 10.2, between tyrosine 10.1 and lysine 10.5 (from memory), pKw 14.17 at 20 C
 *   K       0.13 mmol/L     computed: carbonate with Davies activities at 20 C, 0.09 at 20 g/L, 0.15 at 0.1 g/L
 *   b       2 mmol/L        estimate: ice of tap water
 *   e       0.1             estimate: groups free in neutral water. Seen: silk fixes best at pH 7 to 8 when hot (vinyl
 *                           sulphones, Dyes and Pigments 88 (2011) 212), so it is not nothing
 *   h       1               estimate: seen that neutral baths take up at least as much as alkaline ones with salt (tussah
 *                           silk, Molecules 29 (2024) 1151), and that pH 9 without salt takes up little
 *   20 kJ/mol               computed: OH- of soda ash falls from 4.02 to 2.24 mmol/L between 20 and 0 C
 * Groups: phenol bonds most on silk, amino less, hydroxyl next to nothing (model compounds, pH 8 to 10, Chinese J. Anal.
 * Chem. 37 (2009) 989); amino (lysine) on wool (J. Soc. Dyers Colour., review of dyes that react with wool). Proof: unit
 * and outside tests of uptake. */
#ifndef THAW_SIM_PROTEIN_H
#define THAW_SIM_PROTEIN_H

#include <math.h>

#define THAW_PROTEIN_HALF_MMOL 0.11f
#define THAW_PROTEIN_CARBONATE_MMOL 0.13f
#define THAW_PROTEIN_BICARBONATE_MMOL 2.0f
#define THAW_PROTEIN_NEUTRAL_SHARE 0.1f
#define THAW_PROTEIN_DRAWN 1.0f
#define THAW_PROTEIN_LESS_J_MOL 20000.0
#define THAW_SODA_KG_MOL 0.10599f
/* At 20 g/L: x = 4.00 mmol/L. */
#define THAW_PROTEIN_FREE_20 0.9732f

/* Share of the phenol and amino groups that is free, soda in kg/m3 of water. */
static inline float thaw_protein_free(float soda_kg_m3)
{
    const float c = (soda_kg_m3 > 0.0f ? soda_kg_m3 : 0.0f) / THAW_SODA_KG_MOL, k = THAW_PROTEIN_CARBONATE_MMOL;
    const float half = 0.5f * (THAW_PROTEIN_BICARBONATE_MMOL + k);
    const float x = k * c / (half + sqrtf(half * half + k * c)); /* = sqrt(..) - half without its rounding */
    return x / (x + THAW_PROTEIN_HALF_MMOL);
}

/* Speed of bonding over that in 20 g/L at 20 C. */
static inline float thaw_protein_bonding(float free)
{
    const float e = THAW_PROTEIN_NEUTRAL_SHARE;
    return ((1.0f - e) * free + e) / ((1.0f - e) * THAW_PROTEIN_FREE_20 + e);
}

/* Sorption over that in 20 g/L; salt: the same on cellulose. */
static inline float thaw_protein_sorption(float free, float salt)
{
    return (salt + THAW_PROTEIN_DRAWN * (1.0f - free)) / (1.0f + THAW_PROTEIN_DRAWN * (1.0f - THAW_PROTEIN_FREE_20));
}

#endif
