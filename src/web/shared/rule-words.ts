/** A pickup rule in words, in English where nobody says otherwise. */
import { describeRule, type PickupRule } from '../../core/calendar/pickup-rule.ts';
import { type Say, sayIn } from '../messages/say.ts';

export const ruleWords = (rule: PickupRule, say: Say = sayIn('en')): string => say.rule(describeRule(rule));
