"""Item statistics, reliability and Wilson intervals computed independently with numpy and scipy.

Writes cases.json beside itself: random classes with their scores (null: not answered) and what numpy and scipy say
of them. Made with numpy 2.4.6 and scipy 1.17.1:

    python3 make_expected.py
"""

import json
import pathlib

import numpy as np
from scipy import stats

random = np.random.default_rng(20260907)


def item(scores, place):
    """Mean score; correlation of the score with the mean score on the other items, over those who answered."""
    own = scores[:, place]
    answered = ~np.isnan(own)
    others = np.delete(scores, place, axis=1)
    with_others = answered & (~np.isnan(others)).any(axis=1)
    x, y = own[with_others], np.nanmean(others[with_others], axis=1)
    binary = set(np.unique(x)) <= {0.0, 1.0}
    if len(x) < 3 or np.std(x) == 0 or np.std(y) < 1e-12:
        r = None
    else:
        r = float(stats.pointbiserialr(x, y).statistic if binary else stats.pearsonr(x, y).statistic)
    return {"n": int(answered.sum()), "p": float(np.mean(own[answered])), "r_n": len(x), "r": r}


def reliability(scores):
    """Cronbach's alpha from the covariance matrix, over complete rows; KR-20 where scores are 0 and 1."""
    whole = scores[~np.isnan(scores).any(axis=1)]
    count = scores.shape[1]
    if len(whole) < 2 or np.var(whole.sum(axis=1)) < 1e-12:
        return {"n": len(whole), "value": None}
    covariance = np.cov(whole, rowvar=False, ddof=0)
    return {"n": len(whole), "value": float(count / (count - 1) * (1 - np.trace(covariance) / covariance.sum()))}


def case(learners, items, missing, partial):
    ability = random.normal(size=(learners, 1))
    difficulty = random.normal(size=(1, items))
    chance = 1 / (1 + np.exp(difficulty - ability))
    scores = (random.random((learners, items)) < chance).astype(float)
    if partial:
        scores = np.where(random.random(scores.shape) < 0.3, random.integers(1, 4, scores.shape) / 4, scores)
    scores[random.random(scores.shape) < missing] = np.nan
    scores = scores[:, ~np.isnan(scores).all(axis=0)]
    return {
        "scores": [[None if np.isnan(score) else float(score) for score in row] for row in scores],
        "items": [item(scores, place) for place in range(scores.shape[1])],
        "reliability": reliability(scores),
    }


cases = [
    case(30, 12, 0.0, False),
    case(30, 12, 0.02, False),
    case(25, 8, 0.4, False),
    case(40, 10, 0.01, True),
    case(6, 5, 0.3, True),
    case(2, 4, 0.0, False),
]
wilson = []
for right, n in [(0, 1), (1, 1), (0, 10), (3, 10), (10, 10), (17, 30), (250, 400), (1, 1000)]:
    interval = stats.binomtest(right, n).proportion_ci(0.95, method="wilson")
    wilson.append({"right": right, "n": n, "low": float(interval.low), "high": float(interval.high)})

target = pathlib.Path(__file__).with_name("cases.json")
target.write_text(json.dumps({"cases": cases, "wilson": wilson}) + "\n")
