from practicals import gate


def test_every_address_is_in_an_access_table():
    assert gate.every_address_has_a_permission(None) == []


def test_a_permission_that_no_table_knows_is_refused(cast):
    assert not cast.teacher.has_perm("practicals.do_as_i_please")


def test_an_address_outside_the_tables_is_closed_to_everyone(cast):
    assert not gate.may_open(cast.administrator, "nowhere:at_all")


def test_someone_who_left_holds_no_permission(cast):
    cast.teacher.is_active = False
    assert not cast.teacher.has_perm("practicals.plan_session")
