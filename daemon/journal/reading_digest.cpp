#include "codec.hpp"
#include "utf8.hpp"

namespace slotwitness::journal {

namespace {

using nlohmann::json;

/// Each alternative of `state::Value` under a name of its own, so that a serial number "locked" and
/// the admin-state locked differ.
struct WriteValue {
    json operator()(state::Unknown) const { return nullptr; }
    json operator()(const std::string& text) const { return {{"text", as_utf8(text)}}; }
    json operator()(const state::Names& names) const {
        json out = json::array();
        for (const std::string& name : names)
            out.push_back(as_utf8(name));
        return {{"names", std::move(out)}};
    }
    json operator()(const units::Quantity& quantity) const {
        return {{"quantity", quantity.value.to_text()}, {"unit", to_text(quantity.unit)}};
    }
    template <class Word>
    json operator()(Word word) const {
        return {{"word", to_word(word)}};
    }
};

json write(const state::Position& at) {
    return {{"line", at.line}, {"column", at.column}};
}

json write(const state::Row& row) {
    json facts = json::object();
    for (const auto& [attribute, fact] : row.facts)
        facts[std::string(to_word(attribute))] = {{"value", std::visit(WriteValue{}, fact.value)},
                                                  {"at", write(fact.at)}};
    return {{"kind", to_word(row.kind)},
            {"name", as_utf8(row.name)},
            {"at", write(row.at)},
            {"text", as_utf8(row.text)},
            {"facts", std::move(facts)}};
}

json write(const state::UnreadLine& unread) {
    return {{"line", unread.line},
            {"text", as_utf8(unread.text)},
            {"column", unread.column},
            {"expected", as_utf8(unread.expected)}};
}

json write(const state::Remark& remark) {
    return {{"at", write(remark.at)}, {"text", as_utf8(remark.text)}};
}

template <class Value>
json write(const std::vector<Value>& values) {
    json out = json::array();
    for (const Value& value : values)
        out.push_back(write(value));
    return out;
}

} // namespace

json to_json(const state::Reading& reading) {
    json lists = json::array();
    for (const state::Kind kind : reading.lists)
        lists.push_back(to_word(kind));
    return {{"whole", reading.whole},
            {"lists", std::move(lists)},
            {"rows", write(reading.rows)},
            {"unread", write(reading.unread)},
            {"remarks", write(reading.remarks)}};
}

std::string digest_of(const state::Reading& reading) {
    return digest_of(canonical(to_json(reading)));
}

} // namespace slotwitness::journal
