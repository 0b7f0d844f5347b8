#include "helpers.hpp"
