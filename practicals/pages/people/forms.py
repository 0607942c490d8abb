"""What people type on the pages of this journey, cleaned; every refusal is a sentence."""

from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.utils.functional import lazy

from practicals.models import Centre, Role, TeachingClass, User
from practicals.pages.people.class_file import LARGEST_BYTES

PLAIN_TYPING = {"autocapitalize": "none", "autocorrect": "off", "spellcheck": "false"}


def said(what: str) -> dict[str, str]:
    return {"required": what}


class SignInForm(forms.Form):
    username = forms.CharField(
        label="Sign-in name",
        max_length=60,
        widget=forms.TextInput(attrs={"autocomplete": "username", "class": "middle", **PLAIN_TYPING}),
        error_messages={
            **said("Type your sign-in name."),
            "max_length": "A sign-in name has at most 60 letters. Check what you typed.",
        },
    )
    password = forms.CharField(
        label="Password or passphrase",
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password", "class": "middle"}),
        error_messages={
            **said("Type your password or passphrase."),
            "max_length": "That is longer than any password here. Check what you typed.",
        },
    )

    def clean_username(self) -> str:
        # In small letters before the limit on tries counts it: Ada and ada are one name.
        name: str = self.cleaned_data["username"]
        return name.lower()


class BenchSignInForm(forms.Form):
    word = forms.CharField(
        label="Class word",
        max_length=60,
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "middle", **PLAIN_TYPING}),
        error_messages={
            **said("Type the class word from your slip."),
            "max_length": "A class word has at most 30 letters. Look at your slip again.",
        },
    )
    code = forms.CharField(
        label="Bench code",
        max_length=60,
        widget=forms.TextInput(
            attrs={
                "autocomplete": "off",
                "class": "middle code",
                **PLAIN_TYPING,
                "autocapitalize": "characters",
            }
        ),
        help_text="Eight letters and digits, such as 7KQ2-M9XA. Small letters will do.",
        error_messages={
            **said("Type the bench code from your slip."),
            "max_length": "A bench code has eight letters and digits. Look at your slip again.",
        },
    )


class NewSecretForm(forms.Form):
    """Present and new password, the new one twice."""

    present = forms.CharField(
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password", "class": "middle"}),
        error_messages=said("Type the one that is valid now."),
    )
    fresh = forms.CharField(
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password", "class": "middle"}),
        help_text="At least 10 letters, digits or signs. Three or four words that you remember do well.",
        error_messages=said("Type the new one."),
    )
    again = forms.CharField(
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password", "class": "middle"}),
        error_messages=said("Type the new one a second time."),
    )

    def __init__(self, *args: Any, word: str, has_one: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.word = word
        self.fields["present"].label = f"Present {word}"
        self.fields["fresh"].label = f"New {word}"
        self.fields["again"].label = f"New {word} again"
        if not has_one:
            del self.fields["present"]

    def clean(self) -> dict[str, Any]:
        cleaned = self.cleaned_data
        if cleaned.get("fresh") and cleaned.get("again") and cleaned["fresh"] != cleaned["again"]:
            self.add_error("again", f"The two differ. Type the same new {self.word} twice.")
        return cleaned


def version_field() -> forms.IntegerField:
    """The version of the record that the form showed."""
    return forms.IntegerField(widget=forms.HiddenInput, min_value=1, max_value=2**31 - 1)


class AccountForm(forms.Form):
    """A new account when `person` is None, else a change."""

    seen_version = version_field()
    username = forms.CharField(
        label="Sign-in name",
        max_length=60,
        help_text="Letters a to z and digits, such as jmoreno. It cannot be changed later.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "middle", **PLAIN_TYPING}),
        error_messages=said("Give a sign-in name."),
    )
    name = forms.CharField(
        label="Name",
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages=said("Give the person's name."),
    )
    sort_name = forms.CharField(
        label="Name to sort by",
        max_length=120,
        required=False,
        help_text="Such as Moreno, Jo.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    roles = forms.MultipleChoiceField(
        label="Roles",
        choices=Role.choices,
        widget=forms.CheckboxSelectMultiple,
        error_messages=said("Choose at least one role, so that the person can do something here."),
    )
    active = forms.BooleanField(label="May sign in", required=False, initial=True)
    password = forms.CharField(
        label="Password",
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password", "class": "middle"}),
        help_text="At least 10 letters, digits or signs. The person can change it after signing in.",
        error_messages=said("Give a first password."),
    )

    def __init__(self, *args: Any, person: User | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if person is None:
            del self.fields["active"], self.fields["seen_version"]
            return
        del self.fields["username"]
        self.fields["password"].label = "New password"
        self.fields["password"].required = False
        self.fields["password"].help_text = "Leave it empty to keep the present one."


def zones() -> list[tuple[str, str]]:
    """Zones by region and place. Old names without a place, such as EST, are still taken when saved."""
    places = sorted(zone for zone in available_timezones() if "/" in zone and not zone.startswith("Etc/"))
    return [(zone, zone.replace("_", " ")) for zone in ["UTC", *places]]


class CentreForm(forms.Form):
    seen_version = version_field()
    name = forms.CharField(
        label="Name of the centre", max_length=120, error_messages=said("Give the centre's name.")
    )
    time_zone = forms.ChoiceField(
        label="Time zone",
        choices=lazy(zones, list)(),
        help_text="Times are shown and typed in this zone.",
        error_messages={
            **said("Choose a time zone."),
            "invalid_choice": "“%(value)s” is no time zone. Choose one from the list.",
        },
    )
    region = forms.ChoiceField(
        label="Region",
        choices=Centre.Region.choices,
        help_text="Decides which days are holidays when a deadline counts working days.",
        error_messages={
            **said("Choose a region."),
            "invalid_choice": "“%(value)s” is none of the regions. Choose one from the list.",
        },
    )
    base_address = forms.CharField(
        label="Address of this server",
        max_length=200,
        help_text="What the QR codes on slips and documents lead to, such as http://192.168.1.20:8000.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "inputmode": "url", **PLAIN_TYPING}),
        error_messages=said("Give the address that learners' devices reach."),
    )
    invented_notice = forms.CharField(
        label="Notice while the data is invented",
        max_length=200,
        required=False,
        help_text="Stands on every page and document. Take it out when real people work here.",
    )


class RosterForm(forms.Form):
    """The archive; it is read at once and not kept."""

    file = forms.FileField(
        label="Roster",
        allow_empty_file=True,
        help_text="The ZIP archive that another system exports by OneRoster 1.2 or 1.1 (CSV), at most 20 MB.",
        widget=forms.FileInput(attrs={"accept": ".zip"}),
        error_messages=said("Choose the archive with the roster."),
    )


class ImportForm(forms.Form):
    """Which class, and the file. The file is read at once and not kept."""

    into = forms.ModelChoiceField(
        label="Add to the class",
        queryset=TeachingClass.objects.none(),
        required=False,
        to_field_name="uuid",
        empty_label="a new class",
        error_messages={"invalid_choice": "Choose a class from the list, or “a new class”."},
    )
    name = forms.CharField(
        label="Name of the new class",
        max_length=80,
        required=False,
        help_text="Such as 12B Chemistry. Only for a new class.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "middle"}),
    )
    class_word = forms.CharField(
        label="Class word",
        max_length=30,
        required=False,
        help_text="Learners type it to sign in at the bench. Left empty, one is drawn, such as willow27.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "middle", **PLAIN_TYPING}),
    )
    teachers = forms.ModelMultipleChoiceField(
        label="Teachers",
        queryset=User.objects.none(),
        required=False,
        to_field_name="uuid",
        widget=forms.CheckboxSelectMultiple,
    )
    file = forms.FileField(
        label="Class list",
        allow_empty_file=True,
        help_text=(
            "CSV or XLSX, at most 5 MB and 500 learners, with headings such as Name and Learner number."
        ),
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.xlsx"}),
        error_messages={
            **said("Choose the file with the class list."),
            "invalid": "No file arrived. Choose the file again.",
        },
    )

    def __init__(self, *args: Any, classes: Any, teachers: Any = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["into"].queryset = classes  # type: ignore[attr-defined]
        if teachers is None:
            del self.fields["teachers"]
        else:
            self.fields["teachers"].queryset = teachers  # type: ignore[attr-defined]

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        if file.size > LARGEST_BYTES:
            raise forms.ValidationError(
                "The file is larger than 5 MB, which no class list is. Choose another one."
            )
        return file


class WithdrawForm(forms.Form):
    learner = forms.UUIDField(widget=forms.HiddenInput)
    reason = forms.CharField(
        label="Why the learner leaves the class",
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={
            **said("Say why the learner leaves the class, such as: moved to class 2B."),
            "max_length": "Say it in at most 120 letters.",
        },
    )
