#pragma once

#include <tao/pegtl.hpp>

/// The gate sentence, rules only. Each word decides by itself what may follow, so no action fires
/// for a reading that is given up later; where nothing fits stands a rule derived from `raise`,
/// with its message in messages.hpp. Every word takes the blanks behind it, so an error stands at
/// the byte it is about.
namespace slotwitness::sentences::grammar {

namespace p = tao::pegtl;

struct gap : p::star<p::one<' '>> {};
struct name_char : p::sor<p::alnum, p::one<'.', '_', ':', '/', '-'>> {};

/// A fixed word of the language with the blanks behind it.
template <class Text>
struct word : p::seq<Text, p::not_at<name_char>, gap> {};
/// One of several words, without the blanks: what an action wants to read.
template <class... Texts>
struct one_word : p::sor<p::seq<Texts, p::not_at<name_char>>...> {};

#define SLOTWITNESS_TEXT(x) TAO_PEGTL_STRING(x)
#define SLOTWITNESS_WORD(name, text)                                                               \
    struct name : word<SLOTWITNESS_TEXT(text)> {}

SLOTWITNESS_WORD(word_and, "and");
SLOTWITNESS_WORD(word_or, "or");
SLOTWITNESS_WORD(word_not, "not");
SLOTWITNESS_WORD(word_for, "for");
SLOTWITNESS_WORD(word_within, "within");
SLOTWITNESS_WORD(word_every, "every");
SLOTWITNESS_WORD(word_at, "at");
SLOTWITNESS_WORD(word_most, "most");
SLOTWITNESS_WORD(word_least, "least");
SLOTWITNESS_WORD(word_no, "no");
SLOTWITNESS_WORD(word_new, "new");
SLOTWITNESS_WORD(word_alarm, "alarm");
SLOTWITNESS_WORD(word_above, "above");
SLOTWITNESS_WORD(word_below, "below");
SLOTWITNESS_WORD(word_except, "except");
SLOTWITNESS_WORD(word_served, "served");
SLOTWITNESS_WORD(word_covered, "covered");
SLOTWITNESS_WORD(word_by, "by");
SLOTWITNESS_WORD(word_module, "module");
SLOTWITNESS_WORD(word_fan_tray, "fan-tray");
SLOTWITNESS_WORD(word_capacity, "capacity");
SLOTWITNESS_WORD(word_without, "without");
SLOTWITNESS_WORD(word_covers, "covers");
SLOTWITNESS_WORD(word_load, "load");
SLOTWITNESS_WORD(word_with, "with");
SLOTWITNESS_WORD(word_margin, "margin");
SLOTWITNESS_WORD(word_errors, "errors");
SLOTWITNESS_WORD(word_of, "of");
SLOTWITNESS_WORD(word_rising, "rising");
SLOTWITNESS_WORD(word_since, "since");
SLOTWITNESS_WORD(word_baseline, "baseline");
SLOTWITNESS_WORD(word_differs, "differs");
SLOTWITNESS_WORD(word_from, "from");
SLOTWITNESS_WORD(word_as, "as");
SLOTWITNESS_WORD(word_in, "in");
SLOTWITNESS_WORD(word_is, "is");
SLOTWITNESS_WORD(word_admin, "admin");
SLOTWITNESS_WORD(word_oper, "oper");
SLOTWITNESS_WORD(word_usage, "usage");
SLOTWITNESS_WORD(word_standby, "standby");
SLOTWITNESS_WORD(word_severity, "severity");
SLOTWITNESS_WORD(word_sensor_status, "sensor-status");

// Kinds. What a group may be narrowed by depends on them.
struct plane_kind : one_word<SLOTWITNESS_TEXT("plane")> {};
struct module_kind : one_word<SLOTWITNESS_TEXT("module")> {};
struct other_kind : one_word<SLOTWITNESS_TEXT("chassis"), SLOTWITNESS_TEXT("controller"),
                             SLOTWITNESS_TEXT("fan-tray"), SLOTWITNESS_TEXT("power-supply"),
                             SLOTWITNESS_TEXT("port"), SLOTWITNESS_TEXT("neighbour"),
                             SLOTWITNESS_TEXT("sensor"), SLOTWITNESS_TEXT("alarm")> {};
struct any_kind : p::sor<plane_kind, module_kind, other_kind> {};

// Words of one attribute, as in RFC 8348, and the trade's own.
struct trade : one_word<SLOTWITNESS_TEXT("up"), SLOTWITNESS_TEXT("operational"),
                        SLOTWITNESS_TEXT("degraded"), SLOTWITNESS_TEXT("down"),
                        SLOTWITNESS_TEXT("shut"), SLOTWITNESS_TEXT("present"),
                        SLOTWITNESS_TEXT("absent"), SLOTWITNESS_TEXT("starting")> {};
struct admin_state : one_word<SLOTWITNESS_TEXT("unknown"), SLOTWITNESS_TEXT("locked"),
                              SLOTWITNESS_TEXT("shutting-down"), SLOTWITNESS_TEXT("unlocked")> {};
struct oper_state : one_word<SLOTWITNESS_TEXT("unknown"), SLOTWITNESS_TEXT("disabled"),
                             SLOTWITNESS_TEXT("enabled"), SLOTWITNESS_TEXT("testing")> {};
struct usage_state : one_word<SLOTWITNESS_TEXT("unknown"), SLOTWITNESS_TEXT("idle"),
                              SLOTWITNESS_TEXT("active"), SLOTWITNESS_TEXT("busy")> {};
struct standby_state
    : one_word<SLOTWITNESS_TEXT("unknown"), SLOTWITNESS_TEXT("hot-standby"),
               SLOTWITNESS_TEXT("cold-standby"), SLOTWITNESS_TEXT("providing-service")> {};
struct alarm_state
    : one_word<SLOTWITNESS_TEXT("unknown"), SLOTWITNESS_TEXT("under-repair"),
               SLOTWITNESS_TEXT("critical"), SLOTWITNESS_TEXT("major"), SLOTWITNESS_TEXT("minor"),
               SLOTWITNESS_TEXT("warning"), SLOTWITNESS_TEXT("indeterminate")> {};
struct severity_word : one_word<SLOTWITNESS_TEXT("critical"), SLOTWITNESS_TEXT("major"),
                                SLOTWITNESS_TEXT("minor"), SLOTWITNESS_TEXT("warning"),
                                SLOTWITNESS_TEXT("indeterminate"), SLOTWITNESS_TEXT("cleared")> {};
/// A threshold: a cleared alarm is none.
struct least_severity
    : one_word<SLOTWITNESS_TEXT("critical"), SLOTWITNESS_TEXT("major"), SLOTWITNESS_TEXT("minor"),
               SLOTWITNESS_TEXT("warning"), SLOTWITNESS_TEXT("indeterminate")> {};
struct sensor_status : one_word<SLOTWITNESS_TEXT("ok"), SLOTWITNESS_TEXT("unavailable"),
                                SLOTWITNESS_TEXT("nonoperational")> {};
struct text_attribute : one_word<SLOTWITNESS_TEXT("serial"), SLOTWITNESS_TEXT("part"),
                                 SLOTWITNESS_TEXT("hardware-rev"), SLOTWITNESS_TEXT("software-rev"),
                                 SLOTWITNESS_TEXT("system-name"), SLOTWITNESS_TEXT("port-id")> {};

/// Words that stand for themselves: as a name they need double quotes. Values of an attribute
/// ("locked", "major") and units are free.
struct reserved
    : p::sor<any_kind, trade, text_attribute, word_and, word_or, word_not, word_for, word_within,
             word_every, word_at, word_most, word_least, word_no, word_new, word_above, word_below,
             word_except, word_served, word_covered, word_by, word_capacity, word_without,
             word_covers, word_load, word_with, word_margin, word_errors, word_of, word_rising,
             word_since, word_baseline, word_differs, word_from, word_as, word_in, word_is,
             word_admin, word_oper, word_usage, word_standby, word_severity, word_sensor_status> {};

// Names. Text is valid UTF-8 without control characters.
struct no_quote_end : p::raise<no_quote_end> {};
struct no_escape : p::raise<no_escape> {};
struct no_name : p::raise<no_name> {};
struct empty_name : p::raise<empty_name> {};
struct bare_name : p::seq<p::not_at<reserved>, p::plus<name_char>> {};
struct quoted_char : p::utf8::ranges<0x20, 0x21, 0x23, 0x5B, 0x5D, 0x7E, 0xA0, 0x10FFFF> {};
struct escaped_char : p::one<'"', '\\'> {};
struct open_quote : p::one<'"'> {};
struct quoted_name
    : p::seq<open_quote, p::opt<p::at<p::one<'"'>>, empty_name>,
             p::star<p::sor<quoted_char, p::seq<p::one<'\\'>, p::sor<escaped_char, no_escape>>>>,
             p::sor<p::one<'"'>, no_quote_end>> {};
struct name : p::seq<p::sor<quoted_name, bare_name, no_name>, gap> {};
struct subject_name : name {};
struct except_name : name {};
struct server_name : name {};

// Numbers.
struct no_quantity : p::raise<no_quantity> {};
struct no_unit : p::raise<no_unit> {};
struct number
    : p::seq<p::opt<p::one<'-', '+'>>, p::plus<p::digit>, p::opt<p::one<'.'>, p::plus<p::digit>>> {
};
struct unit_char : p::utf8::ranges<0x21, 0x21, 0x23, 0x27, 0x2A, 0x2B, 0x2D, 0x7E, 0xA1, 0x10FFFF> {
};
struct unit : p::seq<p::not_at<reserved>, p::plus<unit_char>> {};
struct quantity : p::seq<p::sor<number, no_quantity>, gap, p::sor<unit, no_unit>, gap> {};

// What is said of a component.
struct no_admin : p::raise<no_admin> {};
struct no_oper : p::raise<no_oper> {};
struct no_usage : p::raise<no_usage> {};
struct no_standby : p::raise<no_standby> {};
struct no_alarm_state : p::raise<no_alarm_state> {};
struct no_severity : p::raise<no_severity> {};
struct no_sensor_status : p::raise<no_sensor_status> {};
struct no_most_least : p::raise<no_most_least> {};
template <class Attribute, class Word, class Error>
struct standard : p::seq<Attribute, p::sor<Word, Error>, gap> {};
struct any_standard
    : p::sor<standard<word_admin, admin_state, no_admin>, standard<word_oper, oper_state, no_oper>,
             standard<word_usage, usage_state, no_usage>,
             standard<word_standby, standby_state, no_standby>,
             standard<word_alarm, alarm_state, no_alarm_state>,
             standard<word_severity, severity_word, no_severity>,
             standard<word_sensor_status, sensor_status, no_sensor_status>> {};
struct below : word_below {};
struct above : word_above {};
struct at_most : word_most {};
struct at_least : word_least {};
struct measured
    : p::seq<p::sor<below, above, p::seq<word_at, p::sor<at_most, at_least, no_most_least>>>,
             quantity> {};
struct predicate : p::sor<p::seq<trade, gap>, any_standard, measured> {};

// `serial differs from baseline`, `serial as in baseline`
struct no_from : p::raise<no_from> {};
struct no_as_in : p::raise<no_as_in> {};
struct no_baseline : p::raise<no_baseline> {};
struct no_text_comparison : p::raise<no_text_comparison> {};
struct baseline : p::sor<word_baseline, no_baseline> {};
struct differs : word_differs {};
struct text_compared
    : p::seq<text_attribute, gap,
             p::sor<p::seq<differs, p::sor<word_from, no_from>>,
                    p::seq<word_as, p::sor<word_in, no_as_in>>, no_text_comparison>,
             baseline> {};

// `every plane except 3 served by module FAB3`
struct no_kind : p::raise<no_kind> {};
struct no_by_module : p::raise<no_by_module> {};
struct no_by_fan_tray : p::raise<no_by_fan_tray> {};
struct serves_only_planes : p::raise<serves_only_planes> {};
struct covers_only_modules : p::raise<covers_only_modules> {};
struct exceptions : p::seq<word_except, except_name, p::star<p::one<','>, gap, except_name>> {};
struct server_module : word_module {};
struct server_fan_tray : word_fan_tray {};
struct served
    : p::seq<word_served, p::sor<p::seq<word_by, server_module>, no_by_module>, server_name> {};
struct covered
    : p::seq<word_covered, p::sor<p::seq<word_by, server_fan_tray>, no_by_fan_tray>, server_name> {
};
template <class Narrowing>
struct narrowed : p::sor<p::seq<exceptions, p::opt<Narrowing>>,
                         p::seq<Narrowing, p::opt<exceptions>>, p::success> {};
struct served_misplaced : p::seq<p::at<word_served>, serves_only_planes> {};
struct covered_misplaced : p::seq<p::at<word_covered>, covers_only_modules> {};
struct group : p::sor<p::seq<plane_kind, gap, narrowed<served>, p::opt<covered_misplaced>>,
                      p::seq<module_kind, gap, narrowed<covered>, p::opt<served_misplaced>>,
                      p::seq<other_kind, gap, p::opt<exceptions>,
                             p::opt<p::sor<served_misplaced, covered_misplaced>>>,
                      no_kind> {};
struct whole_group : group {};
struct named : p::seq<any_kind, gap, subject_name> {};

// The forms of a condition.
struct no_predicate : p::raise<no_predicate> {};
struct no_negated_predicate : p::raise<no_negated_predicate> {};
struct every_not : p::raise<every_not> {};
struct negated : word_not {};
struct one_is : p::seq<named, p::sor<p::seq<negated, p::sor<predicate, no_negated_predicate>>,
                                     predicate, text_compared, no_predicate>> {};

struct no_is : p::raise<no_is> {};
struct was : word_in {};
struct still : p::seq<was, baseline, p::sor<word_is, no_is>, p::sor<predicate, no_predicate>> {};
struct every_is
    : p::seq<word_every, whole_group,
             p::sor<p::seq<p::at<word_not>, every_not>, p::seq<trade, gap, p::opt<still>>,
                    predicate, text_compared, no_predicate>> {};

struct no_count : p::raise<no_count> {};
struct limit : p::plus<p::digit> {};
struct count_most : word_most {};
struct count_least : word_least {};
struct count_is : p::seq<word_at, p::sor<count_most, count_least, no_most_least>,
                         p::sor<p::seq<limit, p::not_at<name_char>, gap>, no_count>, whole_group,
                         p::sor<p::seq<negated, p::sor<predicate, no_negated_predicate>>, predicate,
                                no_predicate>> {};

struct no_alarm_word : p::raise<no_alarm_word> {};
struct no_new_alarm_word : p::raise<no_new_alarm_word> {};
struct no_or_above : p::raise<no_or_above> {};
struct no_least_severity : p::raise<no_least_severity> {};
struct no_since : p::raise<no_since> {};
struct from_severity : p::opt<word_at, p::sor<p::seq<word_or, word_above>, no_or_above>,
                              p::sor<least_severity, no_least_severity>, gap> {};
struct alarm_listed : p::seq<word_alarm, from_severity> {};
struct alarm_new : p::seq<word_new, p::sor<word_alarm, no_new_alarm_word>, from_severity,
                          p::sor<p::seq<word_since, baseline>, no_since>> {};
struct no_alarm : p::seq<word_no, p::sor<alarm_new, alarm_listed, no_alarm_word>> {};

struct no_without : p::raise<no_without> {};
struct no_capacity_subject : p::raise<no_capacity_subject> {};
struct no_capacity_kind : p::raise<no_capacity_kind> {};
struct no_covers : p::raise<no_covers> {};
struct no_load : p::raise<no_load> {};
struct no_with : p::raise<no_with> {};
struct no_percentage : p::raise<no_percentage> {};
struct no_percent_sign : p::raise<no_percent_sign> {};
struct no_margin_word : p::raise<no_margin_word> {};
struct percentage : p::seq<p::plus<p::digit>, p::opt<p::one<'.'>, p::plus<p::digit>>> {};
struct all_of : p::seq<word_every, whole_group> {};
struct all_lost
    : p::seq<word_every, p::sor<p::at<p::sor<plane_kind, module_kind>>, no_capacity_kind>,
             whole_group> {};
struct lost_part : p::seq<p::sor<plane_kind, module_kind>, gap, subject_name> {};
struct capacity_covers : p::seq<word_capacity, p::sor<word_without, no_without>,
                                p::sor<all_lost, lost_part, no_capacity_subject>,
                                p::sor<word_covers, no_covers>, p::sor<word_load, no_load>,
                                p::sor<word_with, no_with>, p::sor<percentage, no_percentage>, gap,
                                p::sor<p::seq<p::one<'%'>, gap>, no_percent_sign>,
                                p::sor<word_margin, no_margin_word>> {};

struct no_of : p::raise<no_of> {};
struct no_subject : p::raise<no_subject> {};
struct no_not_rising : p::raise<no_not_rising> {};
struct errors_not_rising
    : p::seq<word_errors, p::sor<word_of, no_of>, p::sor<all_of, named, no_subject>,
             p::sor<p::seq<word_not, word_rising>, no_not_rising>> {};

struct simple : p::sor<one_is, every_is, count_is, no_alarm, capacity_covers, errors_not_rising> {};

// `not` binds tightest, then `and`, then `or`.
struct no_condition : p::raise<no_condition> {};
struct no_closing : p::raise<no_closing> {};
struct disjunction;
struct operand;
struct negation : p::seq<word_not, operand> {};
struct parenthesised : p::seq<p::one<'('>, gap, disjunction, p::sor<p::one<')'>, no_closing>, gap> {
};
struct operand : p::sor<negation, parenthesised, simple, no_condition> {};
struct conjunction : p::seq<operand, p::star<word_and, operand>> {};
struct disjunction : p::seq<conjunction, p::star<word_or, conjunction>> {};

// `for H` and `within D` close the sentence.
struct no_duration : p::raise<no_duration> {};
struct no_time_unit : p::raise<no_time_unit> {};
struct no_end : p::raise<no_end> {};
struct no_end_after_for : p::raise<no_end_after_for> {};
struct no_end_after_within : p::raise<no_end_after_within> {};
struct no_end_after_both : p::raise<no_end_after_both> {};
struct amount : p::plus<p::digit> {};
struct time_unit
    : p::seq<p::sor<p::string<'m', 's'>, p::string<'m', 'i', 'n'>, p::one<'s', 'h', 'd'>>,
             p::not_at<p::alpha>> {};
struct duration_part : p::seq<amount, gap, p::sor<time_unit, no_time_unit>, gap> {};
struct duration : p::sor<p::plus<duration_part>, no_duration> {};
struct hold : duration {};
struct deadline : duration {};
struct for_clause : p::seq<word_for, hold> {};
struct within_clause : p::seq<word_within, deadline> {};
template <class Error>
struct end : p::sor<p::eof, Error> {};
struct closing
    : p::sor<p::seq<for_clause,
                    p::sor<p::seq<within_clause, end<no_end_after_both>>, end<no_end_after_for>>>,
             p::seq<within_clause,
                    p::sor<p::seq<for_clause, end<no_end_after_both>>, end<no_end_after_within>>>,
             end<no_end>> {};
struct sentence : p::seq<gap, disjunction, closing> {};

#undef SLOTWITNESS_WORD
#undef SLOTWITNESS_TEXT

} // namespace slotwitness::sentences::grammar
