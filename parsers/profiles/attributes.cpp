#include "attributes.hpp"

namespace slotwitness::profiles {
namespace {

using state::Attribute;

template <class Word>
std::optional<state::Value> word_value(std::string_view word) {
    if (const auto value = state::from_word<Word>(word))
        return state::Value{*value};
    return word == "unknown" ? std::optional{state::Value{state::Unknown{}}} : std::nullopt;
}

template <class Word>
std::vector<std::string_view> word_names() {
    std::vector<std::string_view> names;
    for (const Word word : state::words_of<Word>())
        names.push_back(to_word(word));
    if (!state::from_word<Word>("unknown"))
        names.emplace_back("unknown");
    return names;
}

} // namespace

ValueType type_of(Attribute attribute) {
    switch (attribute) {
    case Attribute::admin:
    case Attribute::oper:
    case Attribute::usage:
    case Attribute::standby:
    case Attribute::alarm:
    case Attribute::severity:
    case Attribute::sensor_status:
        return ValueType::word;
    case Attribute::serial:
    case Attribute::part:
    case Attribute::hardware_rev:
    case Attribute::software_rev:
    case Attribute::label:
    case Attribute::text:
    case Attribute::about:
    case Attribute::system_name:
    case Attribute::port_id:
        return ValueType::text;
    case Attribute::serves:
    case Attribute::covers:
        return ValueType::names;
    case Attribute::links_usable:
    case Attribute::links_total:
    case Attribute::capacity:
    case Attribute::load:
    case Attribute::errors:
    case Attribute::flaps:
    case Attribute::reading:
    case Attribute::limit:
    case Attribute::speed:
    case Attribute::uptime:
        return ValueType::quantity;
    }
    __builtin_unreachable();
}

std::optional<units::Unit> unit_of(Attribute attribute) {
    if (attribute == Attribute::capacity || attribute == Attribute::load)
        return units::Unit::bits_per_second;
    if (attribute == Attribute::speed)
        return units::Unit::rpm;
    if (attribute == Attribute::uptime)
        return units::Unit::seconds;
    if (attribute == Attribute::reading || attribute == Attribute::limit)
        return std::nullopt;
    return units::Unit::none;
}

std::optional<state::Value> value_of(Attribute attribute, std::string_view word) {
    if (attribute == Attribute::admin)
        return word_value<state::AdminState>(word);
    if (attribute == Attribute::oper)
        return word_value<state::OperState>(word);
    if (attribute == Attribute::usage)
        return word_value<state::UsageState>(word);
    if (attribute == Attribute::standby)
        return word_value<state::StandbyState>(word);
    if (attribute == Attribute::alarm)
        return word_value<state::AlarmState>(word);
    if (attribute == Attribute::severity)
        return word_value<state::Severity>(word);
    if (attribute == Attribute::sensor_status)
        return word_value<state::SensorStatus>(word);
    return std::nullopt;
}

std::vector<std::string_view> words_for(Attribute attribute) {
    if (attribute == Attribute::admin)
        return word_names<state::AdminState>();
    if (attribute == Attribute::oper)
        return word_names<state::OperState>();
    if (attribute == Attribute::usage)
        return word_names<state::UsageState>();
    if (attribute == Attribute::standby)
        return word_names<state::StandbyState>();
    if (attribute == Attribute::alarm)
        return word_names<state::AlarmState>();
    if (attribute == Attribute::severity)
        return word_names<state::Severity>();
    if (attribute == Attribute::sensor_status)
        return word_names<state::SensorStatus>();
    return {};
}

std::set<Attribute> attributes_of(const WordList& words) {
    std::set<Attribute> attributes;
    for (const auto& [word, meant] : words)
        for (const Meant& one : meant)
            attributes.insert(one.attribute);
    return attributes;
}

std::set<Attribute> attributes_of(const Profile& profile, const Meaning& meaning) {
    if (meaning.as == Meaning::As::word) {
        const auto list = profile.words.find(meaning.words);
        return list == profile.words.end() ? std::set<Attribute>{} : attributes_of(list->second);
    }
    return meaning.attribute ? std::set{*meaning.attribute} : std::set<Attribute>{};
}

std::set<Attribute> attributes_of(const Profile& profile, const Query& query) {
    std::set<Attribute> attributes;
    for (const auto& [label, meaning] : query.cells)
        attributes.merge(attributes_of(profile, meaning));
    for (const state::Kind kind : kinds_of(query))
        if (const auto stated = profile.stated.find(kind); stated != profile.stated.end())
            for (const auto& [name, facts] : stated->second)
                for (const auto& [attribute, value] : facts)
                    attributes.insert(attribute);
    return attributes;
}

std::set<state::Kind> kinds_of(const Query& query) {
    const auto* xml = std::get_if<layouts::HardwareXmlSpec>(&query.layout);
    if (xml == nullptr)
        return {query.kind};
    std::set<state::Kind> kinds;
    for (const auto& [identity, kind] : xml->classes)
        kinds.insert(kind);
    return kinds;
}

std::vector<std::string> parameters_of(const Query& query) {
    std::vector<std::string> names;
    for (const Word& word : query.ask)
        if (const auto* parameter = std::get_if<Parameter>(&word))
            names.push_back(parameter->name);
    return names;
}

} // namespace slotwitness::profiles
