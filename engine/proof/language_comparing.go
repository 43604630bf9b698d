package proof

import "regexp"

// englishComparing are the words by which a sentence says that one thing is
// more than another, or that something changes in one direction.
var englishComparing = comparing{
	phrases: phrasesIn(`
		more, less, fewer, better, worse, further, farther, * than, no * than, more and more, less and less
		longer, shorter, higher, lower, taller, larger, smaller, bigger, greater, deeper, shallower, wider, broader, narrower
		thicker, thinner, heavier, lighter, stronger, weaker, faster, slower, quicker, nearer, closer, steeper, flatter
		hotter, warmer, colder, cooler, louder, quieter, softer, harder, brighter, dimmer, darker, tighter, looser, stiffer
		smoother, rougher, finer, coarser, steadier, fuller, emptier, purer, easier, safer, sharper, gentler
		rise, rises, rose, risen, rising, fall, falls, fell, fallen, falling, drop, drops, dropped, dropping, climb*
		grow, grows, grew, grown, growing, shrink*, shrank, shrunk, sink, sinks, sank, sunk, sinking, increas*, decreas*
		slows, slowed, slowing, slow down, speed up, speeds up, sped up, go up, goes up, went up, go down, goes down, went down
		weaken*, strengthen*, lengthen*, shorten*, widen*, outlast*, raise, raises, lowers, reduc*, double, doubles, halve, halves
		twice as, twice the, twice that, twice its, twice what, half as, times as`),
	idioms: phrasesIn(`
		more or less, no more, no less, no longer, any more, any longer, once more, one more, two more, three more, some more, what is more
		no further, further on, rather than, other than, sooner or later, so much the better, had better, a closer look
		the lower half, the lower line, the lower curve, the lower wave, the lower figure, the lower picture, the lower part, the lower end
		rises and falls, rise and fall, rising and falling, the halves, two halves, both halves, drop a, drops a, dropped a, drop it
		drop out, drops out, dropped out, fall out, falls out, fall back, falls back, fell back, fall apart, falls apart`),
	request: regexp.MustCompile(`(?i)^(?:ask|compare|feel|guess|imagine|listen|look|press|put|ring|see|set|take|try|turn|watch)\b[^,;:]*`),
}

// frenchComparing are the same for French.
var frenchComparing = comparing{
	phrases: phrasesIn(`
		plus, moins, davantage, mieux, meilleur, meilleure, meilleurs, meilleures, pire, pires, moindre, moindres
		de plus en plus, de moins en moins, de plus que, de moins que
		supérieur* à, supérieur* au, supérieur* aux, inférieur* à, inférieur* au, inférieur* aux
		monte*, monté*, montait, descend*, baiss*, augment*, diminu*, tombe*, chute*, grandi*, grossit, grossir, grossissent
		croît*, croissent, décroît*, décroissent, allonge*, raccourci*, ralenti*, accélère*, accéléré*, accélérer*
		faibli*, affaibli*, renforc*, rédui*, double, doublent
		deux fois le, deux fois la, deux fois les, deux fois l, deux fois ce, deux fois sa, deux fois son, fois celle, fois celui`),
	idioms: phrasesIn(`
		plus ou moins, ni plus ni moins, au moins, du moins, à moins, pour le moins, tout au plus, au plus
		plus tard, de plus, en plus, non plus, sans plus, plus rien, plus aucun, plus aucune, plus jamais, plus personne
		le plus, la plus, les plus, des plus, le moins, la moins, les moins, des moins, le mieux, le moindre, la moindre
		le meilleur, la meilleure, les meilleurs, les meilleures, le pire, tant mieux
		ne plus, ne * plus, n * plus, ne * * plus, n * * plus
		monte* et descend*, laissez tomber, laisser tomber, laisse tomber`),
	never:   []string{"pas", "point", "jamais", "guère", "rien", "que", "qu"},
	request: regexp.MustCompile(`(?i)^\pL+ez\b[^,;:]*`),
}
