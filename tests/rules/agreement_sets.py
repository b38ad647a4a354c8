"""Tables of scores that papers print, and one that we invented, for the statistics of agreement."""

from scoring.rules.agreement_scores import Table

# Shrout and Fleiss 1979, table 2: six targets by four judges.
SHROUT_FLEISS = [
    [9, 2, 5, 8],
    [6, 1, 3, 2],
    [8, 4, 6, 8],
    [7, 1, 2, 6],
    [10, 5, 6, 9],
    [6, 2, 4, 7],
]

# Cohen 1968: 200 patients, told as counts, and his weights of disagreement.
COHEN = [[88, 14, 18], [10, 40, 10], [2, 6, 12]]
COHEN_WEIGHTS = [[0, 1, 3], [1, 0, 6], [3, 6, 0]]

# Krippendorff 2011: twelve units by four observers, some scores missing.
N = None
KRIPPENDORFF: Table = [
    [1, 1, N, 1],
    [2, 2, 3, 2],
    [3, 3, 3, 3],
    [3, 3, 3, 3],
    [2, 2, 2, 2],
    [1, 2, 3, 4],
    [4, 4, 4, 4],
    [1, 1, 2, 1],
    [2, 2, 2, 2],
    [N, 5, 5, 5],
    [N, N, 1, 1],
    [N, N, 3, N],
]

# Bland and Altman 1986: peak expiratory flow of 17 people, litres a minute, twice by each meter.
WRIGHT_1 = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
WRIGHT_2 = [490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421]
MINI_1 = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451]
MINI_2 = [525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443]

# Invented by us: ten horses in half points by two assessors.
HALF_A = [2, 2.5, 3, 3, 3.5, 4, 3, 2.5, 4.5, 3.5]
HALF_B = [2.5, 2.5, 3, 3.5, 3.5, 4.5, 3, 3, 4, 3]
HALF = [[a, b] for a, b in zip(HALF_A, HALF_B, strict=True)]
