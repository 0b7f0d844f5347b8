#include "check.hpp"
#include "procedure.hpp"

#include <slotwitness/keys/fields.hpp>

#include <array>
#include <utility>

namespace slotwitness::procedures {
namespace {

using keys::Fields;
using keys::Problems;

template <class Word>
Word word_of(Fields& fields, std::string_view key, std::initializer_list<Word> all,
             std::string_view example) {
    std::vector<std::string> words;
    for (const Word word : all)
        words.emplace_back(to_word(word));
    fields.require(key, example);
    const auto at = fields.word(key, words);
    return at ? *(all.begin() + *at) : *all.begin();
}

Parameter read_parameter(const toml::table& table, const std::string& path, Problems& problems) {
    Fields fields{table, path, problems};
    Parameter parameter;
    std::vector<std::string> words{"figure", "time-limit", "words"};
    for (const state::Kind kind : state::words_of<state::Kind>())
        words.emplace_back(state::to_word(kind));
    fields.require("is", "is = \"module\"");
    const auto is = fields.word("is", words);
    if (is && *is >= 3) {
        const bool several = fields.truth("several").value_or(false);
        parameter.is = ComponentOf{state::words_of<state::Kind>()[*is - 3], several};
    } else if (is && *is == 0) {
        const std::string unit = fields.required_text("unit", "N·m");
        const auto one = units::parse_quantity("1 " + unit);
        if (!unit.empty() && !one)
            fields.wrong("unit", unit, "a unit", "Write for example unit = \"N·m\".");
        parameter.is = Figure{one ? one->unit : units::Unit::none};
    } else if (is && *is == 1) {
        parameter.is = TimeLimit{};
    } else {
        parameter.is = Words{};
    }
    parameter.say = fields.required_text("say", "the fabric module to be replaced");
    fields.finish();
    return parameter;
}

IfWrong read_if_wrong(const toml::table& table, const std::string& path, Problems& problems) {
    Fields fields{table, path, problems};
    using First = IfWrong::First;
    IfWrong advice;
    advice.first = word_of(fields, "first",
                           {First::freeze, First::finish_seating, First::put_back, First::call},
                           "first = \"freeze\"");
    advice.say = fields.required_text("say", "Hands off. Call the engineer.");
    fields.finish();
    return advice;
}

/// The keys that a step and a step of the way back have in common; the others are left.
Step read_step(Fields& fields, Problems& problems) {
    Step step;
    step.name = fields.required_text("name", "pull-tray");
    if (!step.name.empty() && !keys::is_id(step.name))
        fields.wrong("name", step.name, "lower-case letters, digits and -",
                     "Rename it, for example \"pull-tray\".");
    step.actor =
        word_of(fields, "actor", {Actor::engineer, Actor::technician}, "actor = \"technician\"");
    step.act = fields.required_text("act", "Pull fan tray <tray>.");
    step.fact = fields.required_text("fact", "module <module> shut for 10 s within 5 min");
    step.until = fields.text("until").value_or("");
    step.effect = fields.text("effect");
    step.confirm = fields.text("confirm");
    step.cautions = fields.texts("cautions");
    step.takes = fields.duration("takes", std::chrono::seconds{1}, std::chrono::hours{24});
    fields.require("if-wrong", "if-wrong = { first = \"call\", say = \"Hands off.\" }");
    if (const toml::table* advice = fields.table("if-wrong"))
        step.if_wrong = read_if_wrong(*advice, fields.path() + " if-wrong", problems);
    return step;
}

Rule read_rule(const toml::table& table, Problems& problems) {
    Fields fields{table, "[[rule]]", problems};
    Rule rule;
    rule.name = fields.required_text("name", "other-planes");
    rule.say = fields.required_text("say", "Every other fabric plane stays up.");
    rule.holds = fields.required_text("holds", "every plane except <planes> up");
    rule.from = fields.text("from").value_or("");
    rule.until = fields.text("until").value_or("");
    if (const toml::table* advice = fields.table("if-wrong"))
        rule.if_wrong = read_if_wrong(*advice, "[[rule]] if-wrong", problems);
    fields.finish();
    return rule;
}

Cooling read_cooling(const toml::table& table, Problems& problems) {
    Fields fields{table, "[cooling]", problems};
    Cooling cooling;
    cooling.tray = fields.required_text("tray", "tray");
    cooling.begins = fields.required_text("begins", "pull-tray");
    cooling.out = fields.text("out").value_or("");
    cooling.ends = fields.required_text("ends", "seat-tray");
    cooling.limit = fields.required_text("limit", "cooling-limit");
    cooling.sensors = fields.text("sensors").value_or("");
    if (!cooling.sensors.empty())
        cooling.hottest = fields.text("hottest").value_or("");
    if (!cooling.out.empty())
        cooling.takes = fields.text("takes").value_or("");
    fields.finish();
    return cooling;
}

ReadyCheck read_ready(const toml::table& table, Problems& problems) {
    Fields fields{table, "[[ready]]", problems};
    ReadyCheck check;
    check.name = fields.required_text("name", "other-controller");
    check.say = fields.required_text("say", "The other controller can take over");
    check.holds = fields.required_text("holds", "at least 1 controller standby hot-standby");
    check.remedy = fields.required_text("remedy", "Let the other controller come up first.");
    fields.finish();
    return check;
}

Compatibility read_compatibility(const toml::table& table, Problems& problems) {
    Fields fields{table, "[compatibility]", problems};
    Compatibility list;
    list.document = fields.required_text("document", "parts list 12-7");
    list.part = fields.required_text("part", "spare-part");
    list.revision = fields.text("revision").value_or("");
    fields.require("fits", "[[compatibility.fits]] for each part number that fits");
    for (const toml::table* each : fields.tables("fits")) {
        Fields one{*each, "[[compatibility.fits]]", problems};
        list.fits.push_back({one.required_text("part", "QF-32-2"), one.texts("revisions")});
        one.finish();
    }
    fields.finish();
    return list;
}

void read_header(Fields& root, Procedure& procedure, Problems& problems) {
    root.require("procedure", "[procedure] with format, title, family and work");
    const toml::table* table = root.table("procedure");
    if (table == nullptr)
        return;
    Fields fields{*table, "[procedure]", problems};
    fields.require("format", "format = 1");
    static_cast<void>(fields.integer("format", 1, 1));
    procedure.title = fields.required_text("title", "Replace a fabric module behind a fan tray");
    procedure.family = fields.required_text("family", "Quillon");
    procedure.work =
        word_of(fields, "work", {Work::replace, Work::reseat, Work::refit, Work::look_only},
                "work = \"replace\"");
    procedure.work_slot = fields.text("work-slot");
    procedure.spare = fields.text("spare");
    procedure.tools = fields.texts("tools");
    procedure.undo = fields.duration("undo", std::chrono::seconds{0}, std::chrono::seconds{30})
                         .value_or(procedure.undo);
    fields.finish();
}

void read_parameters(Fields& root, Procedure& procedure, Problems& problems) {
    const toml::table* table = root.table("parameter");
    if (table == nullptr)
        return;
    for (const auto& [key, value] : *table) {
        if (!keys::check_id(key, "[parameter.…]", problems))
            continue;
        const std::string name{key.str()};
        if (const auto* inner = value.as_table())
            procedure.parameters[name] =
                read_parameter(*inner, "[parameter." + name + "]", problems);
        else
            problems.add(value, keys::shown(value), "a table [parameter." + name + "]",
                         "Write it under a line of its own in brackets.");
    }
}

Procedure read_document(const toml::table& document, Problems& problems) {
    Procedure procedure;
    Fields root{document, "the procedure", problems};
    read_header(root, procedure, problems);
    read_parameters(root, procedure, problems);
    for (const toml::table* table : root.tables("rule"))
        procedure.rules.push_back(read_rule(*table, problems));
    root.require("step", "[[step]] for each act of a person");
    for (const toml::table* table : root.tables("step")) {
        Fields fields{*table, "[[step]]", problems};
        procedure.steps.push_back(read_step(fields, problems));
        fields.finish();
    }
    for (const toml::table* table : root.tables("back-out")) {
        Fields fields{*table, "[[back-out]]", problems};
        BackOutStep step{read_step(fields, problems), fields.required_text("undoes", "pull-tray")};
        fields.finish();
        procedure.back_out.push_back(std::move(step));
    }
    if (const toml::table* cooling = root.table("cooling"))
        procedure.cooling = read_cooling(*cooling, problems);
    for (const toml::table* table : root.tables("ready"))
        procedure.ready.push_back(read_ready(*table, problems));
    if (const toml::table* list = root.table("compatibility"))
        procedure.compatibility = read_compatibility(*list, problems);
    root.finish();
    return procedure;
}

} // namespace

tl::expected<Procedure, std::vector<state::Problem>> parse_procedure(const keys::File& file) {
    constexpr std::size_t largest = 1'000'000; ///< bytes; a procedure takes some ten thousand
    Problems problems{{&file, 1}};
    if (file.text.size() > largest)
        problems.add({{}, {}, std::make_shared<const std::string>(file.name)},
                     std::to_string(file.text.size()) + " bytes",
                     "at most " + std::to_string(largest) + " bytes",
                     "Give a procedure, not another file.");
    Procedure procedure;
    if (problems.empty())
        if (const auto document = keys::parse(file, problems)) {
            procedure = read_document(*document, problems);
            if (problems.empty())
                check(procedure, *document, problems);
        }
    if (!problems.empty())
        return tl::unexpected(std::move(problems).take());
    return procedure;
}

} // namespace slotwitness::procedures
